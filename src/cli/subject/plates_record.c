/* plates_record.c: the same for programs; docs/plates.md lists the fields. */
#include <stdlib.h>

#include "crankcard/plan.h"
#include "cli/ask/output.h"
#include "cli/out/csv.h"
#include "cli/out/json.h"
#include "cli/subject/plates_job.h"

void plates_write_rows(FILE *out, const struct plates_job *q)
{
    struct csv csv;

    csv_init(&csv, out, q->output.format == FORMAT_TSV);
    csv_header(&csv, "number,wanted,circles");
    for (size_t i = 0; i < q->unserved.n; i++) {
        struct grown g = { 0 };
        for (size_t k = 0; q->has_plate && k < q->plate.circles; k++)
            if (cc_circle_serves(q->head.worm, q->plate.circle[k], q->unserved.at[i]))
                grown_add(&g, " ", q->plate.circle[k]);
        csv_number(&csv, (long long)q->unserved.at[i]);
        csv_field(&csv, number_list_has(&q->want, q->unserved.at[i]) ? "yes" : "no");
        csv_field(&csv, g.text);
        csv_end_row(&csv);
        free(g.text);
    }
}

static void json_list(struct json *json, const char *key, const struct number_list *list)
{
    json_open_array(json, key);
    for (size_t i = 0; i < list->n; i++)
        json_number(json, NULL, (long long)list->at[i]);
    json_close_array(json);
}

static void json_methods(struct json *json, const struct plates_job *q)
{
    unsigned methods = q->methods != 0 ? q->methods : 1U << CC_DIRECT | 1U << CC_PLAIN;

    json_open_array(json, "methods");
    for (int m = 0; m < CC_METHODS; m++)
        if (methods >> m & 1)
            json_string(json, NULL, cc_method_name((enum cc_method)m));
    json_close_array(json);
}

static void json_plate(struct json *json, const struct plates_job *q)
{
    const struct cc_new_plate *p = &q->plate;

    if (!q->has_plate) {
        static const char *const keys[] = { "circles", "served", "servable", "weight", "bound", "proved",
                                            "search_steps" };
        for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
            json_null(json, keys[i]);
        return;
    }
    json_open_array(json, "circles");
    for (size_t i = 0; i < p->circles; i++)
        json_number(json, NULL, p->circle[i]);
    json_close_array(json);
    json_number(json, "served", (long long)p->served);
    json_number(json, "servable", (long long)p->servable);
    json_number(json, "weight", p->weight);
    json_number(json, "bound", p->bound);
    json_bool(json, "proved", p->proved);
    json_number(json, "search_steps", (long long)p->nodes);
}

void plates_write_records(FILE *out, const struct plates_job *q)
{
    struct json json;

    json_open(&json, out);
    json_string(&json, "record", "plates");
    json_number(&json, "schema", 1);
    json_string(&json, "command", "plates");
    json_string(&json, "head", q->head.title);
    if (q->head.has_worm)
        json_rational(&json, "worm", q->head.worm);
    else
        json_null(&json, "worm");
    json_methods(&json, q);
    json_number(&json, "numbers", (long long)q->numbers.n);
    json_list(&json, "unserved", &q->unserved);
    json_list(&json, "want", &q->want);
    json_number(&json, "circles_asked", (long long)q->circles);
    json_number(&json, "least", (long long)q->least);
    json_number(&json, "most", (long long)q->most);
    json_plate(&json, q);
    json_close(&json);
    for (size_t i = 0; q->has_plate && i < q->plate.circles; i++) {
        json_open(&json, out);
        json_string(&json, "record", "circle");
        json_number(&json, "circle", q->plate.circle[i]);
        json_open_array(&json, "serves");
        for (size_t k = 0; k < q->unserved.n; k++)
            if (cc_circle_serves(q->head.worm, q->plate.circle[i], q->unserved.at[k]))
                json_number(&json, NULL, (long long)q->unserved.at[k]);
        json_close_array(&json);
        json_close(&json);
    }
}
