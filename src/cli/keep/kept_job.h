/*
 * kept_job.h: the jobs whose place is kept, for follow and recover: which one is meant, and whether its head
 * and plan are still those it was begun with.
 */
#ifndef CRANKCARD_CLI_KEEP_KEPT_JOB_H
#define CRANKCARD_CLI_KEEP_KEPT_JOB_H

#include "crankcard/head.h"
#include "cli/ask/cli.h"
#include "cli/job/job.h"
#include "cli/keep/journal.h"

/* What may stand for a job's name. */
enum kept_match {
    KEPT_BEGINNING,         /* the beginning of it */
    KEPT_NAME               /* all of it, or all but the checksum at its end: where something will be lost */
};

/*
 * The job that given means, where it means one alone; NULL: the only one that is not done. Returns an exit
 * status.
 */
int kept_choose(char name[JOURNAL_NAME], struct cli *cli, const char *given, enum kept_match match);

/*
 * Go to the directory that the request was typed in, where the files it names are, and come back from there: what is
 * written goes to where the program was called. here is what the first gave; false where there is no way back.
 */
int kept_go_there(const struct journal *journal);
bool kept_come_back(int here);

/*
 * Plan the request of job, which was read from the journal's words, as the journal has it: on its head, with its plan,
 * though another may come first by now. A head that cannot be found any more is the journal's. What is other than it
 * was is put behind what stands in said. Returns an exit status: a head or plan that is not the journal's is
 * refused, and the difference printed to out, unless that is NULL.
 */
int kept_plan(struct job *job, struct cli *cli, FILE *out, const struct journal *journal, char *said, size_t size);

/* Median seconds of a cut in all jobs kept that were on this head, the one called but left out (NULL: none); 0: none known. */
unsigned kept_pace(const char *head, const char *but);

/* What journal_create wants of a job: the profile, to be freed, and "compound, plate A, circles 19 and 15, ...". */
char *kept_head_text(const struct cc_head *head);
void kept_plan_line(char *buf, size_t size, const struct job *job);

#endif
