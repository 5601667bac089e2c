/* plates_card.c: numbers without a setting, the plate to drill for them, and what it still leaves out. */
#include <stdlib.h>

#include "crankcard/angle.h"
#include "crankcard/plan.h"
#include "cli/out/text.h"
#include "cli/subject/plates_job.h"

static void methods_text(char *buf, size_t size, const struct plates_job *q)
{
    size_t used = 0;

    if (q->methods == 0) {
        snprintf(buf, size, cc_head_has_dial(&q->head) ? "direct, plain or dial" : "direct or plain");
        return;
    }
    buf[0] = '\0';
    for (int m = 0; m < CC_METHODS && used < size; m++)
        if (q->methods >> m & 1)
            used += (size_t)snprintf(buf + used, size - used, "%s%s", used > 0 ? " or " : "",
                                     cc_method_name((enum cc_method)m));
}

static void card_list(struct text *t, const struct plates_job *q, bool left_only)
{
    struct grown g = { 0 };

    for (size_t i = 0; i < q->unserved.n; i++)
        if (!left_only || !plates_new_serves(q, q->unserved.at[i]))
            grown_add(&g, " ", q->unserved.at[i]);
    if (g.text != NULL)
        text_para(t, "  ", "  ", "%s", g.text);
    else
        text_line(t, "  none");
    free(g.text);
}

static void card_circles(struct text *t, const struct plates_job *q)
{
    for (size_t i = 0; i < q->plate.circles; i++) {
        struct grown g = { 0 };
        char first[40];
        for (size_t k = 0; k < q->unserved.n; k++)
            if (cc_circle_serves(q->head.worm, q->plate.circle[i], q->unserved.at[k]))
                grown_add(&g, " ", q->unserved.at[k]);
        snprintf(first, sizeof first, "  %5u holes  ", q->plate.circle[i]);
        text_para(t, first, "               ", "%s", g.text);
        free(g.text);
    }
}

/* "other circle", "6 circles" */
static const char *other_circles(char *buf, size_t size, size_t circles)
{
    if (circles == 1)
        snprintf(buf, size, "other circle");
    else
        snprintf(buf, size, "%zu circles", circles);
    return buf;
}

/* What is proved of the choice: that it is the best, or how far from the best it can be at most. */
static void card_proof(struct text *t, const struct plates_job *q)
{
    const struct cc_new_plate *p = &q->plate;
    char count[40];

    if (p->served == p->servable)
        text_para(t, "", "  ", "Proved: no circle from %lu to %lu holes serves any of the rest.", q->least, q->most);
    else if (p->proved)
        text_para(t, "", "  ", "Proved: no %s from %lu to %lu holes serve%s more%s.",
                  other_circles(count, sizeof count, p->circles), q->least, q->most, p->circles == 1 ? "s" : "", q->want.n > 0 ? ", the wanted numbers first" : "");
    else
        text_para(t, "", "  ", "Best found, not proved: the search was cut off after %llu steps. Weight %lld, and no "
                  "choice has more than %lld.", p->nodes, p->weight, p->bound);
}

/* Why a wanted number is left out: the circle it takes, against the circles that may be chosen. */
static void not_served(struct text *t, const struct plates_job *q, unsigned long n)
{
    struct cc_request request;
    unsigned long least;

    cc_request_init(&request);
    mpz_set_ui(request.divisions, n);
    least = q->head.has_worm ? (unsigned long)cc_request_least_circle(&request, q->head.worm) : 0;
    cc_request_clear(&request);
    if (least == 0)
        text_para(t, "  ", "    ", "%lu wanted: not served; it takes a circle of more than %d holes", n, CC_MAX_CIRCLE);
    else if (q->most / least * least < q->least)
        text_para(t, "  ", "    ", "%lu wanted: not served; it takes a circle of %lu holes or a multiple, and those chosen from have "
                  "%lu to %lu: --most %lu", n, least, q->least, q->most, (q->least + least - 1) / least * least);
    else
        text_para(t, "  ", "    ", "%lu wanted: not served; it takes a circle of %lu holes or a multiple, and the %lu circle%s went "
                  "to other wanted numbers: --circles", n, least, q->circles, q->circles == 1 ? "" : "s");
}

static void card_wanted(struct text *t, const struct plates_job *q)
{
    for (size_t i = 0; i < q->want.n; i++) {
        unsigned long n = q->want.at[i];
        if (!number_list_has(&q->unserved, n))
            text_para(t, "  ", "    ", "%lu wanted: the head serves it already", n);
        else if (q->has_plate && plates_new_serves(q, n))
            text_para(t, "  ", "    ", "%lu wanted: served by the new plate", n);
        else
            not_served(t, q, n);
    }
}

/* When a plate is worth making where there is a dial, which is never off by more than half of what it reads. */
static void beside_the_dial(struct text *t, const struct plates_job *q)
{
    char off[40], held[40];
    mpq_t half, holds;

    if (!cc_head_has_dial(&q->head))
        return;
    mpq_inits(half, holds, NULL);
    plates_dial_error(half, &q->head);
    bool stated = cc_head_taken_to_hold(holds, &q->head, CC_INDEX_WORM);
    cc_angle_error_str(off, sizeof off, half, 2, CC_MARKS_UTF8);
    cc_angle_error_str(held, sizeof held, holds, 0, CC_MARKS_UTF8);
    mpq_div_2exp(holds, holds, 2);
    if (mpq_cmp(half, holds) <= 0)
        text_para(t, "  ", "  ", "By the dial they are at most %s off, less than a quarter of the %s that the worm is taken to hold%s: a plate "
                  "adds no accuracy. It saves a reading in every movement, and the same movement comes every time.", off, held,
                  stated ? "" : ", assumed");
    else
        text_para(t, "  ", "  ", "By the dial they are up to %s off, and through a plate no more than the worm itself, taken to hold %s%s: a plate "
                  "is worth making for a number that comes often.", off, held, stated ? "" : ", assumed");
    if (q->head.plate_count == 0)
        text_para(t, "  ", "  ", "This head has no plate yet: see first that the crank's shaft takes one, with a pin and sector arms.");
    mpq_clears(holds, half, NULL);
}

static void write_choice(struct text *t, const struct plates_job *q)
{
    char methods[200];

    methods_text(methods, sizeof methods, q);
    text_para(t, "", "  ", "%s", q->head.title);
    if (q->unserved.n == 0) {
        if (q->numbers.n == 1)
            text_para(t, "", "  ", "The number has an exact %s setting.", methods);
        else
            text_para(t, "", "  ", "All %zu numbers have an exact %s setting.", q->numbers.n, methods);
        card_wanted(t, q);
        return;
    }
    text_para(t, "", "  ", "%zu of %zu number%s %s no exact %s setting:", q->unserved.n, q->numbers.n,
              q->numbers.n == 1 ? "" : "s", q->unserved.n == 1 ? "has" : "have", methods);
    card_list(t, q, false);
    card_wanted(t, q);
    if (q->methods == 0)
        text_para(t, "  ", "  ", "Other methods may serve some of them exactly: see the command table, or say --method.");
    beside_the_dial(t, q);
    text_blank(t);
    if (!q->head.has_worm) {
        text_para(t, "", "  ", "The head has no worm, so there is no plate to add.");
        return;
    }
    if (!q->has_plate) {
        text_para(t, "", "  ", "No circle from %lu to %lu holes serves any of them: more holes are needed (--most).",
                  q->least, q->most);
        return;
    }
    text_para(t, "", "  ", "One more plate of %zu circle%s serves %zu of them by plain indexing:", q->plate.circles,
              q->plate.circles == 1 ? "" : "s", q->plate.served);
    card_circles(t, q);
    card_proof(t, q);
    text_blank(t);
    text_line(t, "Still left out");
    card_list(t, q, true);
}

void plates_write_card(FILE *out, const struct plates_job *q)
{
    struct text t;

    text_init(&t, out, &q->output);
    write_choice(&t, q);
    text_end(&t);
}
