/* replay.c: runs a fuzz target once on each file named, for builds without libFuzzer. */
#include "fuzz.h"

static void run_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    long size = -1;

    if (file != NULL && fseek(file, 0, SEEK_END) == 0)
        size = ftell(file);
    if (size < 0 || fseek(file, 0, SEEK_SET) != 0) {
        fprintf(stderr, "cannot read '%s'\n", path);
        exit(2);
    }
    uint8_t *data = malloc(size > 0 ? (size_t)size : 1);
    if (data == NULL || fread(data, 1, (size_t)size, file) != (size_t)size) {
        fprintf(stderr, "cannot read '%s'\n", path);
        exit(2);
    }
    fclose(file);
    LLVMFuzzerTestOneInput(data, (size_t)size);
    free(data);
}

int main(int argc, char **argv)
{
    for (int i = 1; i < argc; i++)
        run_file(argv[i]);
    return 0;
}
