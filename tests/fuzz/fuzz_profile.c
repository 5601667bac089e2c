/* fuzz_profile.c: profiles of heads; the profile written of a head reads back and is written the same. */
#include "fuzz.h"

static char *written(const struct cc_head *head)
{
    size_t length = cc_head_str(NULL, 0, head);
    char *text = malloc(length + 1);

    if (text == NULL)
        abort();
    FUZZ_HOLDS(cc_head_str(text, length + 1, head) == length && strlen(text) == length);
    return text;
}

/* One value changed in the text of a profile: the head that is read has it. */
static void change_title(const char *data, size_t size)
{
    size_t length = cc_profile_set(NULL, 0, data, size, "head", "title", "Changed");
    char *text = malloc(length + 1);
    struct cc_head head;
    struct cc_error err;

    if (text == NULL)
        abort();
    FUZZ_HOLDS(cc_profile_set(text, length + 1, data, size, "head", "title", "Changed") == length);
    cc_head_init(&head);
    FUZZ_HOLDS(cc_head_read(&head, text, length, "fuzz", "changed.ini", &err) == CC_OK);
    FUZZ_HOLDS(strcmp(head.title, "Changed") == 0);
    cc_head_clear(&head);
    free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct cc_head head, again;
    struct cc_error err;

    cc_head_init(&head);
    cc_head_init(&again);
    enum cc_status s = cc_head_read(&head, (const char *)data, size, "fuzz", "fuzz.ini", &err);
    if (s != CC_OK) {
        fuzz_check_error(&err, s);
        FUZZ_HOLDS(head.title == NULL && head.plate_count == 0);
    } else {
        change_title((const char *)data, size);
        char *first = written(&head);
        FUZZ_HOLDS(cc_head_read(&again, first, strlen(first), "fuzz", "again.ini", &err) == CC_OK);
        char *second = written(&again);
        FUZZ_HOLDS(strcmp(first, second) == 0);
        free(second);
        free(first);
    }
    cc_head_clear(&again);
    cc_head_clear(&head);
    return 0;
}
