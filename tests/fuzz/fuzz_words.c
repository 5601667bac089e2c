/* fuzz_words.c: a batch line cut into words; words quoted as a shell would want them come back the same. */
#include "cli/base/shell_words.h"

#include "fuzz.h"

/* Every word in single quotes. */
static char *quoted(const struct shell_words *words)
{
    size_t length = 1;

    for (int i = 0; i < words->argc; i++)
        length += 4 * strlen(words->argv[i]) + 3;
    char *line = malloc(length), *p = line;
    if (line == NULL)
        abort();
    for (int i = 0; i < words->argc; i++) {
        *p++ = '\'';
        for (const char *c = words->argv[i]; *c != '\0'; c++) {
            if (*c == '\'') {
                memcpy(p, "'\\''", 4);
                p += 4;
            } else {
                *p++ = *c;
            }
        }
        *p++ = '\'';
        *p++ = ' ';
    }
    *p = '\0';
    return line;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size);
    struct shell_words words = { .argc = 0 }, again = { .argc = 0 };
    struct cc_error err;

    if (!shell_words_split(&words, text, &err)) {
        fuzz_check_error(&err, err.status);
    } else {
        char *line = quoted(&words);
        FUZZ_HOLDS(shell_words_split(&again, line, &err));
        FUZZ_HOLDS(again.argc == words.argc);
        for (int i = 0; i < words.argc; i++)
            FUZZ_HOLDS(strcmp(words.argv[i], again.argv[i]) == 0);
        free(line);
    }
    shell_words_clear(&again);
    shell_words_clear(&words);
    free(text);
    return 0;
}
