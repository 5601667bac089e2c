/*
 * fuzz_command.c: whole command lines, a word a line: the reader of arguments, every option, and small
 * jobs to their end. Lines that would touch files or run long are left out.
 */
#include "cli/base/exit_status.h"
#include "cli/command/command_table.h"
#include "cli/command/run.h"

#include "fuzz.h"

enum { MOST_WORDS = 12 };

/* Devices, standard input and large numbers stay out. */
static bool is_tame(const char *word)
{
    size_t digits = 0;

    if (strcmp(word, "-") == 0 || strstr(word, "/dev") != NULL || strstr(word, "/proc") != NULL)
        return false;
    for (const char *p = word; *p != '\0'; p++) {
        digits = *p >= '0' && *p <= '9' ? digits + 1 : 0;
        if (digits > 3 || *p == '^')
            return false;
    }
    return true;
}

static bool is_allowed(const char *word)
{
    static const char *const allowed[] = { "divide", "methods", "table", "check", "tilt", "lead", "heads",
                                          "gear", "layout", "angles", "recover", "flats" };

    for (size_t i = 0; i < sizeof allowed / sizeof allowed[0]; i++)
        if (strcmp(word, allowed[i]) == 0)
            return true;
    return word[0] >= '0' && word[0] <= '9';
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static FILE *out;
    char *text = fuzz_text(data, size), *words[MOST_WORDS + 1];
    struct cli cli = { .in = stdin, .in_batch = true, .commands = command_table };     /* as in a batch: --output is refused */
    int count = 0;

    if (out == NULL && (out = fopen("/dev/null", "w")) == NULL)
        abort();
    cli.out = out;
    for (char *p = text; *p != '\0' && count < MOST_WORDS; ) {
        char *end = p + strcspn(p, "\n");
        bool last = *end == '\0';
        *end = '\0';
        words[count++] = p;
        p = last ? end : end + 1;
    }
    words[count] = NULL;
    bool tame = count > 0 && is_allowed(words[0]);
    for (int i = 0; i < count && tame; i++)
        tame = is_tame(words[i]);
    if (tame) {
        int status = cli_run(&cli, count, words);
        FUZZ_HOLDS(status == EXIT_YES || status == EXIT_NO || status == EXIT_TROUBLE);
        FUZZ_HOLDS(status != EXIT_TROUBLE || cli.err.text[0] != '\0');
    }
    free(text);
    return 0;
}
