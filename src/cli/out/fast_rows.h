/* fast_rows.h: rows of plans whose numbers fit machine words, written without GMP and without printf. */
#ifndef CRANKCARD_CLI_OUT_FAST_ROWS_H
#define CRANKCARD_CLI_OUT_FAST_ROWS_H

#include "cli/ask/output.h"
#include "cli/job/job.h"

/*
 * Write rows from ... last (from >= 1) as csv, tsv or jsonl, the same bytes as plan_records.c writes. Returns
 * false, nothing written, where the job is not one of those it serves.
 */
bool fast_rows(FILE *out, const struct job *job, enum format format, uint64_t from, uint64_t last);

#endif
