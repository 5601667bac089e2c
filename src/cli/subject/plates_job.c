/* plates_job.c: see plates_job.h. */
#include "cli/subject/plates_job.h"

#include <stdlib.h>
#include <string.h>

#include "crankcard/plan.h"
#include "cli/base/memory.h"

void plates_job_init(struct plates_job *q)
{
    *q = (struct plates_job){ .circles = 6, .least = 15, .most = 66 };
    output_init(&q->output);
    cc_head_init(&q->head);
    mpq_inits(q->drill, q->diameter, q->holds, NULL);
}

void plates_job_clear(struct plates_job *q)
{
    free(q->weight);
    free(q->unserved.at);
    free(q->want.at);
    free(q->numbers.at);
    mpq_clears(q->drill, q->diameter, q->holds, NULL);
    cc_head_clear(&q->head);
}

/* ---- lists of numbers ---- */

void number_list_add(struct number_list *list, unsigned long number)
{
    list->at = memory_grow(list->at, list->n, &list->room, sizeof *list->at);
    list->at[list->n++] = number;
}

static int compare_numbers(const void *a, const void *b)
{
    unsigned long x = *(const unsigned long *)a, y = *(const unsigned long *)b;
    return (x > y) - (x < y);
}

void number_list_sort(struct number_list *list)
{
    size_t kept = 0;

    if (list->n == 0)
        return;
    qsort(list->at, list->n, sizeof *list->at, compare_numbers);
    for (size_t i = 0; i < list->n; i++)
        if (kept == 0 || list->at[kept - 1] != list->at[i])
            list->at[kept++] = list->at[i];
    list->n = kept;
}

bool number_list_has(const struct number_list *list, unsigned long number)
{
    return list->n > 0 &&
           bsearch(&number, list->at, list->n, sizeof *list->at, compare_numbers) != NULL;
}

/* ---- what is not served ---- */

/* By the planner, with the methods asked for; direct and plain need no search. */
static enum cc_status list_unserved_by(struct plates_job *q, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    struct cc_request request;
    struct cc_plan plan;
    enum cc_status s = cc_planner_new(&planner, &q->head, err);

    cc_request_init(&request);
    cc_plan_init(&plan);
    request.methods = q->methods;
    for (size_t i = 0; s == CC_OK && i < q->numbers.n; i++) {
        mpz_set_ui(request.divisions, q->numbers.at[i]);
        s = cc_planner_best(&plan, NULL, planner, &request, err);
        if (s == CC_ENOFIT || (s == CC_OK && !plan.exact))
            number_list_add(&q->unserved, q->numbers.at[i]);
        if (s == CC_ENOFIT) {
            *err = (struct cc_error){ .status = CC_OK };
            s = CC_OK;
        }
    }
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    return s;
}

enum cc_status plates_list_unserved(struct plates_job *q, struct cc_error *err)
{
    if (q->methods != 0)
        return list_unserved_by(q, err);
    for (size_t i = 0; i < q->numbers.n; i++)
        if (!cc_head_serves(&q->head, q->numbers.at[i]))
            number_list_add(&q->unserved, q->numbers.at[i]);
    return CC_OK;
}

enum cc_status plates_choose(struct plates_job *q, struct cc_error *err)
{
    q->weight = memory_get((q->unserved.n + 1) * sizeof *q->weight);
    for (size_t i = 0; i < q->unserved.n; i++)
        q->weight[i] = number_list_has(&q->want, q->unserved.at[i]) ? (long long)q->unserved.n + 1 : 1;
    struct cc_plates_question question = {
        .number = q->unserved.at,
        .weight = q->weight,
        .numbers = q->unserved.n,
        .circles = (unsigned)q->circles,
        .least = (unsigned)q->least,
        .most = (unsigned)q->most,
    };
    enum cc_status s = cc_plates_choose(&q->plate, q->head.worm, &question, err);
    q->has_plate = s == CC_OK;
    return s;
}

bool plates_new_serves(const struct plates_job *q, unsigned long number)
{
    for (size_t i = 0; i < q->plate.circles; i++)
        if (cc_circle_serves(q->head.worm, q->plate.circle[i], number))
            return true;
    return false;
}

void plates_dial_error(mpq_t half, const struct cc_head *head)
{
    mpq_set_ui(half, 1, 2UL * head->dial.lines * head->dial.vernier);
    mpq_div(half, half, head->worm);
}

/* ---- text ---- */

void grown_add(struct grown *g, const char *separator, unsigned long number)
{
    char word[48];
    int n = snprintf(word, sizeof word, "%s%lu", g->used > 0 ? separator : "", number);

    if (g->used + (size_t)n + 1 > g->room) {
        g->room = g->room * 2 + 256;
        g->text = memory_resize(g->text, g->room);
    }
    memcpy(g->text + g->used, word, (size_t)n + 1);
    g->used += (size_t)n;
}
