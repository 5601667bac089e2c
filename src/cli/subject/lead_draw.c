/* lead_draw.c: the best train of a lead, from the table screw to the head. */
#include "cli/out/draw_gears.h"
#include "cli/out/quantities.h"
#include "cli/subject/lead_job.h"

void lead_write_drawing(FILE *out, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head)
{
    const struct cc_gearing *g = &a->list.at[0];
    struct cc_head with = lead_head(r, head);
    char title[2 * QUANTITY_SIZE], subtitle[400], length[QUANTITY_SIZE];

    snprintf(title, sizeof title, "Lead %s, %s hand", length_text(length, g->lead, r->output.unit),
             r->ask.hand == CC_LEFT_HAND ? "left" : "right");
    snprintf(subtitle, sizeof subtitle, "%s; table screw %s", head->title, length_text(length, r->ask.screw, r->output.unit));
    write_gear_drawing(out, title, subtitle, &g->train, &with, cc_lead_use(r->ask.geared_to), r->output.unit);
}
