/* flats_job.c: see flats_job.h. */
#include "cli/subject/flats_job.h"

#include "cli/base/exit_status.h"

static bool find_centre(struct cc_flats_centre *centre, const struct flats_ask *ask, struct cc_error *err)
{
    const struct cc_flats *flats = &ask->ring[0].flats;
    struct cc_flats_reading reading[MOST_READINGS];

    for (size_t i = 0; i < ask->readings; i++) {
        unsigned long flat = ask->reading[i].flat;
        reading[i] = (struct cc_flats_reading){ flat == 0, flat == 0 ? 0 : (double)(flat - 1) / (double)flats->n, mpq_get_d(ask->reading[i].mm) };
    }
    return cc_flats_centre_of(centre, flats, reading, ask->readings, err) == CC_OK;
}

bool flats_figures_of(struct flats_figures *figures, const struct job *job, size_t which, struct cc_error *err)
{
    const struct flats_ask *ask = &job->flats;
    const struct flats_ring *ring = &ask->ring[which];

    *figures = (struct flats_figures){ .has_centre = which == 0 && ask->readings > 0 };
    cc_flats_sizes_init(&figures->sizes);
    mpq_init(figures->off);
    if (ring->holes)
        return true;
    figures->stated = cc_head_taken_to_hold(figures->off, &job->head, cc_plan_is_direct(&job->plan));
    if (mpq_cmp(job->plan.worst_pitch, figures->off) > 0)
        mpq_set(figures->off, job->plan.worst_pitch);
    bool good = cc_flats_measure(&figures->sizes, &ring->flats, err) == CC_OK;
    return good && (!figures->has_centre || find_centre(&figures->centre, ask, err));
}

void flats_figures_clear(struct flats_figures *figures)
{
    mpq_clear(figures->off);
    cc_flats_sizes_clear(&figures->sizes);
}

/* Whether some flat of the first ring has less on it than the true one needs; a hair more than what doubles round off. */
static bool is_too_deep(const struct job *job)
{
    const struct cc_flats *flats = &job->flats.ring[0].flats;
    struct flats_figures figures;
    bool deep = false;

    if (job->flats.readings == 0)
        return false;
    if (flats_figures_of(&figures, job, 0, NULL))
        for (unsigned long k = 0; k < flats->n && !deep; k++)
            deep = cc_flats_take_off(&figures.centre, flats, (double)k / (double)flats->n) < -1e-9;
    flats_figures_clear(&figures);
    return deep;
}

int flats_verdict(const struct job *job)
{
    return is_too_deep(job) ? EXIT_NO : job_verdict(job);
}
