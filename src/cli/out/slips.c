/* slips.c: see slips.h. One hole and one turn of the crank, past the plate, move the spindle by 1/(ratio C) and 1/ratio. */
#include "cli/out/slips.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/setup.h"
#include "cli/out/words.h"

/* The spindle's angle for so many holes of the pin's circle. */
static void holes_angle(char *buf, size_t size, const struct cc_plan *plan, uint64_t holes)
{
    mpq_t angle;

    mpq_init(angle);
    cc_set_u64(mpq_numref(angle), holes);
    cc_set_u64(mpq_denref(angle), plan->circle);
    mpq_canonicalize(angle);
    mpq_div(angle, angle, plan->ratio);
    cc_angle_error_str(buf, size, angle, 0, CC_MARKS_UTF8);
    mpq_clear(angle);
}

/* " (of the 18 circle 30′00″)", behind the pin's own. */
static void second_hole(char *buf, size_t size, const struct cc_plan *plan)
{
    struct cc_plan other = *plan;
    char angle[WORDS];

    other.circle = plan->circle2;
    holes_angle(angle, sizeof angle, &other, 1);
    snprintf(buf, size, " (of the %u circle %s)", plan->circle2, angle);
}

/* Whether some movement counts more holes than one: else none is counted from the pin's own. */
static bool counts_holes(const struct job *job)
{
    int64_t spaces;
    bool behind;

    return setup_arms(&spaces, &behind, job) && !behind;
}

void slips_words(char *buf, size_t size, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char turn[WORDS], hole[3 * WORDS], all[WORDS];
    int n;

    buf[0] = '\0';
    if (cc_plan_is_direct(plan))
        return;
    holes_angle(turn, sizeof turn, plan, plan->circle);
    holes_angle(hole, sizeof hole, plan, plan->detent > 1 ? plan->detent : 1);
    holes_angle(all, sizeof all, plan, plan->steps);
    if (cc_plan_is_dial(plan)) {
        char line[WORDS];
        holes_angle(line, sizeof line, plan, plan->circle / plan->dial.lines);
        snprintf(buf, size, "Dial right and the %s out by %s: a turn lost, or one too many. A line misread, %s: that cut alone is out, for "
                 "no reading depends on the one before.", job->head.rim.lines > 0 ? "rim" : "work", turn, line);
        return;
    }
    if (plan->circle2 != 0)
        second_hole(hole + strlen(hole), sizeof hole - strlen(hole), plan);
    n = snprintf(buf, size, "Hole right and the work out by %s: a turn lost, or one too many. One hole off, %s: a miscount once; all "
                 "later cuts are shifted.", turn, hole);
    if (plan->detent > 1 && n > 0 && (size_t)n < size) {
        holes_angle(hole, sizeof hole, plan, 1);
        snprintf(buf + n, size - (size_t)n, " The detent one part off, %s: that cut alone; each row sets it anew.", hole);
    } else if (counts_holes(job) && plan->has_closing && plan->block == 1 && plan->circle2 == 0 && n > 0 && (size_t)n < size) {
        snprintf(buf + n, size - (size_t)n, " The last space wide by %" PRIu64 " holes, %s: the pin's own hole was counted every time.",
                 plan->steps, all);
    }
}
