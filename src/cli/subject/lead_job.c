/* lead_job.c: see lead_job.h. */
#include "cli/subject/lead_job.h"

#include "crankcard/fit.h"

void lead_job_init(struct lead_job *r)
{
    *r = (struct lead_job){ .lead = NULL };
    cc_lead_request_init(&r->ask);
    mpq_inits(r->helix, r->within, (mpq_ptr)NULL);
    output_init(&r->output);
}

void lead_job_clear(struct lead_job *r)
{
    cc_lead_request_clear(&r->ask);
    mpq_clears(r->helix, r->within, (mpq_ptr)NULL);
}

struct cc_head lead_head(const struct lead_job *r, const struct cc_head *head)
{
    struct cc_head with = *head;

    if (r->gear_count > 0) {
        with.gears.at = (unsigned *)r->gears;
        with.gears.n = r->gear_count;
    }
    return with;
}

enum cc_status lead_work_out(struct lead_answer *a, const struct lead_job *r, const struct cc_head *head,
                             struct cc_error *err)
{
    const unsigned *gears = r->gear_count > 0 ? r->gears : NULL;
    enum cc_status s = r->train.pairs == 0 ? cc_lead_find(&a->list, &r->ask, head, gears, r->gear_count, err)
                                           : cc_lead_of_gears(&a->list, &r->ask, head, gears, r->gear_count, &r->train, err);

    a->goes_on = true;
    if (s == CC_OK && r->train.pairs > 0) {
        struct cc_head with = lead_head(r, head);
        a->goes_on = cc_train_name_idlers(&a->list.at[0].train, &with, cc_lead_use(r->ask.geared_to));
    }
    if (s == CC_OK && r->ask.geared_to == CC_TO_WORM && r->ask.starts > 1)
        s = cc_start_index_find(&a->index, head, r->ask.starts, err);
    cc_lead_of_machine(a->machine, head->worm, r->ask.screw, r->ask.geared_to);
    return s;
}

bool lead_is_near(const struct lead_job *r, const struct cc_gearing *g)
{
    mpq_t part;

    mpq_init(part);
    mpq_div(part, g->error, r->ask.lead);
    mpq_abs(part, part);
    bool near = mpq_cmp_ui(part, 1, 100) <= 0;
    mpq_clear(part);
    return near;
}

bool lead_is_within(const struct lead_job *r, const struct cc_gearing *g)
{
    mpq_t amount;

    mpq_init(amount);
    mpq_abs(amount, g->error);
    bool within = r->within_text == NULL ? lead_is_near(r, g) : mpq_cmp(amount, r->within) <= 0;
    mpq_clear(amount);
    return within;
}

bool lead_indexes_plainly(const struct lead_job *r)
{
    return r->ask.geared_to == CC_TO_WORM && r->ask.starts > 1;
}

unsigned lead_last_driven(const struct cc_train *train)
{
    return train->driven[train->pairs - 1];
}
