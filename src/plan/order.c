/*
 * order.c: the fewest plate changes for several jobs, a small set cover: take the first job that is
 * not served yet, try each mounting that serves it, and go on, with one change more allowed at a time.
 */
#include "crankcard/order.h"

#include <stdlib.h>
#include <string.h>

static const unsigned long most_work = 1000000;     /* mountings tried before the first find is taken */

struct cover {
    const bool *serves;
    size_t jobs, mounts;
    bool *used;             /* mounts */
    unsigned long work;
};

static bool is_served(const struct cover *c, size_t job)
{
    for (size_t m = 0; m < c->mounts; m++)
        if (c->used[m] && c->serves[job * c->mounts + m])
            return true;
    return false;
}

static bool can_be_served(const struct cover *c, size_t job)
{
    for (size_t m = 0; m < c->mounts; m++)
        if (c->serves[job * c->mounts + m])
            return true;
    return false;
}

/* The first job that some mounting serves but none that is used; jobs when there is none. */
static size_t first_open(const struct cover *c)
{
    size_t job = 0;

    while (job < c->jobs && (is_served(c, job) || !can_be_served(c, job)))
        job++;
    return job;
}

/* Cover the open jobs with at most allowed more mountings. */
static bool cover_with(struct cover *c, size_t allowed)
{
    size_t job = first_open(c);

    if (job == c->jobs)
        return true;
    if (allowed == 0)
        return false;
    for (size_t m = 0; m < c->mounts; m++) {
        if (!c->serves[job * c->mounts + m] || ++c->work > most_work)
            continue;
        c->used[m] = true;
        if (cover_with(c, allowed - 1))
            return true;
        c->used[m] = false;
    }
    return false;
}

/* Whatever serves the first open job, until none is open. */
static size_t cover_anyhow(struct cover *c)
{
    size_t changes = 0;

    for (size_t job; (job = first_open(c)) < c->jobs; changes++) {
        size_t m = 0;
        while (!c->serves[job * c->mounts + m])
            m++;
        c->used[m] = true;
    }
    return changes;
}

enum cc_status cc_order_changes(size_t *chosen, size_t *changes, const bool *serves, size_t jobs,
                                size_t mounts, size_t mounted, struct cc_error *err)
{
    struct cover c = { serves, jobs, mounts, calloc(mounts + 1, sizeof(bool)), 0 };
    size_t allowed = 0;
    bool done = false;

    if (c.used == NULL)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    if (mounted < mounts)
        c.used[mounted] = true;
    while (c.work <= most_work && !(done = cover_with(&c, allowed)))
        allowed++;
    *changes = done ? allowed : cover_anyhow(&c);
    for (size_t job = 0; job < jobs; job++) {
        chosen[job] = CC_NO_MOUNT;
        if (mounted < mounts && serves[job * mounts + mounted])
            chosen[job] = mounted;
        for (size_t m = 0; m < mounts && chosen[job] == CC_NO_MOUNT; m++)
            if (c.used[m] && serves[job * mounts + m])
                chosen[job] = m;
    }
    free(c.used);
    return CC_OK;
}
