/* card_strip.c: a line under a step that shows where its error lies between the worst ones. */
#include <string.h>

#include "crankcard/number.h"
#include "cli/job/job.h"
#include "cli/out/card.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

#define INDENT 6            /* columns */

/* Columns from the middle of the strip to either end. */
static unsigned reach_of(const struct text *t)
{
    return (t->width - INDENT - 1) / 2;
}

void card_strip_key(struct text *t, const struct job *job)
{
    char worst[WORDS];

    if (job->plan.exact) {
        text_para(t, "    ", "    ", "No strips: every error is 0.");
        return;
    }
    angle_words(worst, sizeof worst, job, job->plan.worst_error);
    text_para(t, "    ", "    ", "Strips: the middle is where a position should be, the ends are %s behind it "
              "(left) and ahead of it (right).", worst);
}

/* The step's error in columns from the middle, rounded. */
static long columns_off(const struct job *job, const struct cc_step *step, unsigned reach)
{
    mpq_t part;
    mpz_t columns;

    mpq_init(part);
    mpz_init(columns);
    mpq_div(part, step->error, job->plan.worst_error);
    mpz_mul_ui(mpq_numref(part), mpq_numref(part), reach);
    mpq_canonicalize(part);
    cc_rational_round(columns, part);
    long off = mpz_get_si(columns);
    mpz_clear(columns);
    mpq_clear(part);
    return off;
}

void card_strip(struct text *t, const struct job *job, const struct cc_step *step)
{
    char line[4 * 256] = "";
    unsigned reach = reach_of(t);

    if (job->plan.exact)
        return;
    long mark = (long)reach + columns_off(job, step, reach);
    for (unsigned i = 0; i <= 2 * reach; i++)
        strcat(line, (long)i == mark ? "●" : i == 0 ? "├" : i == 2 * reach ? "┤" : i == reach ? "┼" : "─");
    text_line(t, "%*s%s", INDENT, "", line);
}
