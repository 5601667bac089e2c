/* batch_pack.h: a batch as one document of HTML: what is in it in front, then each job on pages of its own. */
#ifndef CRANKCARD_CLI_COMMAND_BATCH_PACK_H
#define CRANKCARD_CLI_COMMAND_BATCH_PACK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* The contents and the pages gather in memory, for the contents stand in front. */
struct pack {
    FILE *contents, *pages, *job;
    char *contents_text, *pages_text, *job_text;
    size_t contents_length, pages_length, job_length;
    char *name;             /* of the job whose page is being taken; NULL: it has none yet */
    unsigned long jobs, without;
};

void pack_init(struct pack *pack);
void pack_clear(struct pack *pack);

/* The page of a line's request: its name, then line by line what it is. */
void pack_name(struct pack *pack, const char *name);
void pack_text(struct pack *pack, const char *text);
bool pack_has_page(const struct pack *pack);

/* The end of a request: keep its page, if it is good, and its message, if it has one, under its line's number. */
void pack_end_job(struct pack *pack, unsigned long line, bool good, const char *message);

/* The whole document. */
void pack_write(struct pack *pack, FILE *out, const char *path);

#endif
