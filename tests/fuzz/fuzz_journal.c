/*
 * fuzz_journal.c: journals of followed jobs, as they are and with every line's checksum put right, so that the search
 * gets behind the checksums. One byte of a good journal changed is refused, or is in a last line that is dropped.
 */
#include "cli/keep/history.h"
#include "cli/keep/journal_text.h"

#include "fuzz.h"

static void check_journal(const struct journal *j)
{
    FUZZ_HOLDS(j->name[0] == '\0' || memchr(j->name, '\0', sizeof j->name) != NULL);
    FUZZ_HOLDS(j->word_count > 0 && j->words != NULL && j->head != NULL && j->plan != NULL);
    FUZZ_HOLDS(j->next <= j->steps + 1);
    FUZZ_HOLDS(j->planned > 0 && j->pass_count >= j->planned && j->pass <= j->pass_count);
    FUZZ_HOLDS((j->round == JOURNAL_CUT) == (j->pass > 0));
    FUZZ_HOLDS(memchr(j->last_note, '\0', sizeof j->last_note) != NULL);
    (void)journal_done(j);
    struct history history;
    history_init(&history);
    history_read(&history, j);
    FUZZ_HOLDS(history.n > 0 && history.at[0].kind == EVENT_BEGUN);
    history_clear(&history);
    (void)journal_median(j);
}

static enum cc_status read_once(const char *data, size_t size)
{
    struct journal journal;
    struct cc_error err;

    journal_init(&journal);
    enum cc_status s = journal_read(&journal, data, size, "fuzz.journal", &err);
    if (s != CC_OK)
        fuzz_check_error(&err, s);
    else
        check_journal(&journal);
    journal_clear(&journal);
    return s;
}

/* Each line of text behind its checksum; what follows the last newline stays a torn line. */
static char *framed(size_t *length, char *text)
{
    char line[JOURNAL_LINE + JOURNAL_FRAME], *out = malloc(JOURNAL_FRAME * (strlen(text) + 1) + strlen(text) + 1);
    uint32_t sum = 0;

    if (out == NULL)
        abort();
    *length = 0;
    for (char *p = text, *end; (end = strchr(p, '\n')) != NULL; p = end + 1) {
        *end = '\0';
        if (strlen(p) >= JOURNAL_LINE)
            continue;
        size_t n = journal_line(line, sizeof line, &sum, p);
        memcpy(out + *length, line, n);
        *length += n;
    }
    return out;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size);
    size_t length;

    read_once(text, size);
    char *journal = framed(&length, text);
    if (read_once(journal, length) == CC_OK && length > 9) {
        size_t at = data[0] * (size_t)31 % length;
        journal[at] = (char)(journal[at] ^ 1);
        struct journal changed;
        struct cc_error err;
        journal_init(&changed);
        if (journal_read(&changed, journal, length, "changed.journal", &err) == CC_OK)
            FUZZ_HOLDS(changed.tail != JOURNAL_WHOLE);
        journal_clear(&changed);
    }
    free(journal);
    free(text);
    return 0;
}
