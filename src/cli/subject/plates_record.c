/* plates_record.c: the same for programs; docs/plates.md lists the fields. */
#include <stdlib.h>

#include "crankcard/plan.h"
#include "cli/out/record.h"
#include "cli/subject/plates_job.h"

static const struct field plates_fields[] = {
    ANSWER_FIELDS("plates"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("worm", EXACT, "R, turns of the crank for one of the spindle; null for a head without a worm"),
    FIELD("methods", TEXTS, "that count as served"),
    FIELD("numbers", NUMBER, "how many numbers were asked about"),
    FIELD("unserved", NUMBERS, "those of them without an exact setting"),
    FIELD("want", NUMBERS, "those that count most"),
    FIELD("circles_asked", NUMBER, "circles of the new plate, at most"),
    FIELD("least", NUMBER, "fewest holes of a circle"),
    FIELD("most", NUMBER, "most holes of a circle"),
    FIELD("circles", COUNTS, "holes of its circles; null where no circle helps, like all that follows"),
    FIELD("served", NUMBER, "how many of the unserved numbers they serve"),
    FIELD("servable", NUMBER, "how many some circle of that range would serve"),
    FIELD("weight", NUMBER, "covered: a wanted number weighs one more than there are unserved numbers, any other 1"),
    FIELD("bound", NUMBER, "no choice of so many circles covers more"),
    FIELD("proved", BOOLEAN, "the search ended: this choice is the best"),
    FIELD("search_steps", NUMBER, "steps of the search"),
    FIELD("dial_worst_arcsec", ARCSEC, "by the dial no position is further off than this; null without one"),
    FIELDS_END
};
const struct form plates_form = { .name = "plates", .fields = plates_fields };

static const struct field circle_fields[] = {
    RECORD_FIELD("circle"),
    FIELD("circle", NUMBER, "holes of a circle of the new plate"),
    FIELD("serves", NUMBERS, "the unserved numbers that it serves"),
    FIELDS_END
};
const struct form circle_form = { .name = "circle", .fields = circle_fields };

static const struct field number_fields[] = {
    FIELD_ONLY(IN_ROWS, "number", NUMBER, "an unserved number"),
    FIELD_ONLY(IN_ROWS, "wanted", TEXT, "yes or no: it is one of --want"),
    FIELD_ONLY(IN_ROWS, "circles", TEXT, "the circles of the new plate that serve it, divided by blanks"),
    FIELDS_END
};
const struct form number_form = { .name = "number", .fields = number_fields };

static void put_list(struct record *r, const char *key, const struct number_list *list)
{
    record_array(r, key);
    for (size_t i = 0; i < list->n; i++)
        record_number(r, NULL, (long long)list->at[i]);
    record_array_end(r);
}

static void put_methods(struct record *r, const struct plates_job *q)
{
    unsigned methods = q->methods != 0 ? q->methods : 1U << CC_DIRECT | 1U << CC_PLAIN;

    if (q->methods == 0 && cc_head_has_dial(&q->head))
        methods |= 1U << CC_DIAL;
    record_array(r, "methods");
    for (int m = 0; m < CC_METHODS; m++)
        if (methods >> m & 1)
            record_string(r, NULL, cc_method_name((enum cc_method)m));
    record_array_end(r);
}

static void put_plate(struct record *r, const struct plates_job *q)
{
    const struct cc_new_plate *p = &q->plate;
    bool has = q->has_plate;

    if (has)
        record_counts(r, "circles", p->circle, p->circles);
    else
        record_null(r, "circles");
    record_number_if(r, has, "served", (long long)p->served);
    record_number_if(r, has, "servable", (long long)p->servable);
    record_number_if(r, has, "weight", p->weight);
    record_number_if(r, has, "bound", p->bound);
    record_bool_if(r, has, "proved", p->proved);
    record_number_if(r, has, "search_steps", (long long)p->nodes);
}

static void put_dial(struct record *r, const struct plates_job *q)
{
    mpq_t half;

    mpq_init(half);
    if (cc_head_has_dial(&q->head))
        plates_dial_error(half, &q->head);
    record_arcsec(r, "dial_worst_arcsec", cc_head_has_dial(&q->head) ? half : NULL);
    mpq_clear(half);
}

static void put_plates(struct record *r, const struct plates_job *q)
{
    record_begin(r, &plates_form, "plates");
    record_string(r, "head", q->head.title);
    record_rational(r, "worm", q->head.has_worm ? q->head.worm : NULL);
    put_methods(r, q);
    record_number(r, "numbers", (long long)q->numbers.n);
    put_list(r, "unserved", &q->unserved);
    put_list(r, "want", &q->want);
    record_number(r, "circles_asked", (long long)q->circles);
    record_number(r, "least", (long long)q->least);
    record_number(r, "most", (long long)q->most);
    put_plate(r, q);
    put_dial(r, q);
    record_end(r);
}

static bool serves(const struct plates_job *q, size_t circle, size_t number)
{
    return cc_circle_serves(q->head.worm, q->plate.circle[circle], q->unserved.at[number]);
}

/* Circle by circle, the numbers that it serves. */
static void put_circles(struct record *r, const struct plates_job *q)
{
    for (size_t i = 0; q->has_plate && i < q->plate.circles; i++) {
        record_begin(r, &circle_form, NULL);
        record_number(r, "circle", q->plate.circle[i]);
        record_array(r, "serves");
        for (size_t k = 0; k < q->unserved.n; k++)
            if (serves(q, i, k))
                record_number(r, NULL, (long long)q->unserved.at[k]);
        record_array_end(r);
        record_end(r);
    }
}

/* In a table: number by number, the circles that serve it. */
static void put_numbers(struct record *r, const struct plates_job *q)
{
    for (size_t i = 0; i < q->unserved.n; i++) {
        struct grown g = { 0 };
        for (size_t k = 0; q->has_plate && k < q->plate.circles; k++)
            if (serves(q, k, i))
                grown_add(&g, " ", q->plate.circle[k]);
        record_begin(r, &number_form, NULL);
        record_number(r, "number", (long long)q->unserved.at[i]);
        record_string(r, "wanted", number_list_has(&q->want, q->unserved.at[i]) ? "yes" : "no");
        record_string(r, "circles", g.text);
        record_end(r);
        free(g.text);
    }
}

void plates_write_records(FILE *out, const struct plates_job *q)
{
    struct record record;

    record_init(&record, out, &q->output, &number_form);
    if (record.table) {
        put_numbers(&record, q);
    } else {
        put_plates(&record, q);
        put_circles(&record, q);
    }
    record_clear(&record);
}
