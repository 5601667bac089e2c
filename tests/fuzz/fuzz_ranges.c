/* fuzz_ranges.c: ranges of counts, as from standard input. */
#include "cli/ask/ranges.h"

#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size);
    struct ranges ranges;
    struct cc_error err = { CC_OK, "" };

    ranges_init(&ranges);
    if (!ranges_read(&ranges, text, "fuzz", &err))
        fuzz_check_error(&err, CC_EPARSE);
    for (size_t i = 0; i < ranges.n; i++)
        FUZZ_HOLDS(ranges.at[i].first >= 1 && ranges.at[i].first <= ranges.at[i].last &&
                   ranges.at[i].last <= MOST_COUNT);
    ranges_clear(&ranges);
    free(text);
    return 0;
}
