/* fuzz_input.c: what commands read from standard input; the first byte of the input says which. */
#define _POSIX_C_SOURCE 200809L
#include "cli/base/exit_status.h"
#include "cli/command/command_table.h"
#include "cli/command/run.h"

#include "fuzz.h"

static const char *const lines[][9] = {
    { "table", "-", "--format", "jsonl", NULL },
    { "gear", "--file", "-", NULL },
    { "gear", "--file", "-", "--format", "csv", NULL },
    { "assess", "-", NULL },
    { "angles", "-", "--format", "tsv", NULL },
    { "assess", "-", "--radius", "25", "--divisions", "57", "--format", "jsonl", NULL },
    { "angles", "-", "--sort", "--radius", "20", NULL },
};

/* Counts of more than three digits take long to plan, not to read. */
static bool is_tame(const char *text)
{
    size_t digits = 0;

    for (; *text != '\0'; text++) {
        digits = *text >= '0' && *text <= '9' ? digits + 1 : 0;
        if (digits > 3)
            return false;
    }
    return true;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static FILE *out;
    char *words[9];
    int count = 0;

    if (size < 2)
        return 0;
    const char *const *line = lines[data[0] % (sizeof lines / sizeof lines[0])];
    char *text = fuzz_text(data + 1, size - 1);
    if ((strcmp(line[0], "assess") == 0 || is_tame(text)) &&
        (out != NULL || (out = fopen("/dev/null", "w")) != NULL)) {
        struct cli cli = { .out = out, .in = fmemopen(text, size - 1, "r"), .in_batch = true,
                           .commands = command_table };
        for (; line[count] != NULL; count++)
            words[count] = fuzz_text((const uint8_t *)line[count], strlen(line[count]));
        words[count] = NULL;
        if (cli.in == NULL)
            abort();
        int status = cli_run(&cli, count, words);
        FUZZ_HOLDS(status == EXIT_YES || status == EXIT_NO || status == EXIT_TROUBLE);
        FUZZ_HOLDS(status != EXIT_TROUBLE || cli.err.text[0] != '\0');
        fclose(cli.in);
        for (int i = 0; i < count; i++)
            free(words[i]);
    }
    free(text);
    return 0;
}
