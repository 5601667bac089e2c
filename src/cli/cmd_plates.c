/* cmd_plates.c: what the head's plates leave out, which circles to drill, and how good a home-made plate gets. */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/commands.h"
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/memory.h"
#include "cli/ranges.h"
#include "cli/text.h"

enum {
    OPT_CIRCLES = OPT_OWN, OPT_LEAST, OPT_MOST, OPT_WANT, OPT_MAKE, OPT_HOLDS, OPT_DRILL, OPT_DIAMETER
};

static const struct option_row plates_options[] = {
    { OPT_CIRCLES, 'k', "circles", "K", "circles on the new plate (default 6)" },
    { OPT_LEAST, 0, "least", "HOLES", "fewest holes of a circle (default 15)" },
    { OPT_MOST, 0, "most", "HOLES", "most holes of a circle (default 66)" },
    { OPT_WANT, 0, "want", "N,N,...", "numbers that come before all others" },
    { OPT_METHOD, 'm', "method", "NAME", "what counts as served (may be given again; default direct and plain)" },
    { OPT_MAKE, 0, "make", "HOLES", "instead: drill a circle of so many holes on this head, and how good it gets" },
    { OPT_HOLDS, 0, "holds", "ANGLE", "with --make: what the worm holds (default the profile's, else 1m)" },
    { OPT_DRILL, 0, "drill", "LENGTH", "with --make: how far a drilled hole may be off (default 0)" },
    { OPT_DIAMETER, 'd', "diameter", "LENGTH", "with --drill: diameter of the hole circle" },
    OPTIONS_END
};

const struct option_row *const plates_tables[] = { plates_options, head_options, output_options, NULL };

#define LARGEST_NUMBER 10000000UL

struct list {
    unsigned long *at;
    size_t n, room;
};

struct request {
    struct output output;
    const char *head_name, *mounted;
    struct cc_head head;
    struct list numbers, want;
    unsigned methods;               /* bits of enum cc_method; 0: direct and plain */
    unsigned long circles, least, most, make;
    const char *drill, *diameter, *holds;
    /* answers */
    struct list unserved;
    long long *weight;              /* of each unserved number */
    struct cc_new_plate plate;
    bool has_plate;
};

/* ---- lists of numbers ---- */

static void list_add(struct list *list, unsigned long number)
{
    if (list->n == list->room) {
        list->room = list->room * 2 + 64;
        list->at = memory_resize(list->at, list->room * sizeof *list->at);
    }
    list->at[list->n++] = number;
}

static int compare_numbers(const void *a, const void *b)
{
    unsigned long x = *(const unsigned long *)a, y = *(const unsigned long *)b;
    return (x > y) - (x < y);
}

static void list_sort(struct list *list)
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

static bool list_has(const struct list *list, unsigned long number)
{
    return list->n > 0 &&
           bsearch(&number, list->at, list->n, sizeof *list->at, compare_numbers) != NULL;
}

static bool add_range(struct list *list, const struct range *range, struct cc_error *err)
{
    if (range->first < 2 || range->last > LARGEST_NUMBER) {
        cc_fail(err, CC_EDOM, "'%" PRIu64 "' is not a whole number from 2 to %lu",
                range->first < 2 ? range->first : range->last, LARGEST_NUMBER);
        return false;
    }
    if (range->last - range->first >= CC_MAX_PLATE_NUMBERS - list->n) {
        cc_fail(err, CC_ELIMIT, "more than %d numbers", CC_MAX_PLATE_NUMBERS);
        return false;
    }
    for (unsigned long n = (unsigned long)range->first; n <= range->last; n++)
        list_add(list, n);
    return true;
}

/* The numbers that text names; what is RANGE or the option it stands behind. */
static bool add_items(struct list *list, const char *text, const char *what, struct cc_error *err)
{
    struct ranges ranges;
    struct cc_error why;

    ranges_init(&ranges);
    bool good = ranges_read(&ranges, text, NULL, &why);
    if (good && ranges.n == 0) {
        cc_fail(&why, CC_EPARSE, "'%.40s' names no number: write 57, 20,24,127 or 2-400", text);
        good = false;
    }
    for (size_t i = 0; good && i < ranges.n; i++)
        good = add_range(list, &ranges.at[i], &why);
    if (!good)
        cc_fail(err, why.status, "%s: %.300s", what, why.text);
    ranges_clear(&ranges);
    return good;
}

/* ---- reading the request ---- */

static bool take_method(struct request *q, const char *text, struct cc_error *err)
{
    enum cc_method method;
    struct cc_error why;

    if (cc_method_parse(&method, text, &why) != CC_OK) {
        cc_fail(err, CC_EPARSE, "--method: %.300s", why.text);
        return false;
    }
    q->methods |= 1U << method;
    return true;
}

static bool take_option(struct request *q, const struct args *args, struct cc_error *err)
{
    switch (args->id) {
    case OPT_HEAD:
        q->head_name = args->text;
        return true;
    case OPT_MOUNTED:
        q->mounted = args->text;
        return true;
    case OPT_CIRCLES:
        return read_number(&q->circles, args->text, "--circles", 1, CC_MAX_NEW_CIRCLES, err);
    case OPT_LEAST:
        return read_number(&q->least, args->text, "--least", CC_MIN_CIRCLE, CC_MAX_CIRCLE, err);
    case OPT_MOST:
        return read_number(&q->most, args->text, "--most", CC_MIN_CIRCLE, CC_MAX_CIRCLE, err);
    case OPT_WANT:
        return add_items(&q->want, args->text, "--want", err);
    case OPT_METHOD:
        return take_method(q, args->text, err);
    case OPT_MAKE:
        return read_number(&q->make, args->text, "--make", CC_MIN_CIRCLE, CC_MAX_CIRCLE, err);
    case OPT_HOLDS:
        q->holds = args->text;
        return true;
    case OPT_DRILL:
        q->drill = args->text;
        return true;
    case OPT_DIAMETER:
        q->diameter = args->text;
        return true;
    default:
        return output_option(&q->output, args->id, args->text, err);
    }
}

static bool check_request(const struct request *q, struct cc_error *err)
{
    if (q->output.format == FORMAT_SVG)
        cc_fail(err, CC_EPARSE, "--format svg is not for plates: card, csv, tsv or jsonl");
    else if (q->make != 0 && (q->numbers.n > 0 || q->want.n > 0))
        cc_fail(err, CC_EPARSE, "--make takes no RANGE and no --want: it is about one circle");
    else if (q->make == 0 && q->numbers.n == 0)
        cc_fail(err, CC_EPARSE, "plates needs a RANGE, such as 2-100, or --make HOLES");
    else if (q->make == 0 && (q->drill != NULL || q->diameter != NULL || q->holds != NULL))
        cc_fail(err, CC_EPARSE, "--holds, --drill and --diameter go with --make");
    else if ((q->drill == NULL) != (q->diameter == NULL))
        cc_fail(err, CC_EPARSE, "--drill and --diameter go together: both make an angle");
    else if (q->least > q->most)
        cc_fail(err, CC_EDOM, "--least %lu is more than --most %lu", q->least, q->most);
    else if (q->most - q->least >= CC_MAX_CANDIDATES)
        cc_fail(err, CC_ELIMIT, "--least %lu to --most %lu: at most %d circles to choose from", q->least, q->most,
                CC_MAX_CANDIDATES);
    else
        return true;
    return false;
}

static int read_request(struct request *q, struct cli *cli, int argc, char **argv)
{
    struct args args;

    args_init(&args, argc, argv, plates_tables);
    for (enum arg_kind kind; (kind = args_next(&args, &cli->err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return EXIT_TROUBLE;
        bool good = kind == ARG_OPERAND ? add_items(&q->numbers, args.text, "RANGE", &cli->err)
                                        : take_option(q, &args, &cli->err);
        if (!good)
            return EXIT_TROUBLE;
    }
    if (!check_request(q, &cli->err))
        return EXIT_TROUBLE;
    for (size_t i = 0; i < q->want.n; i++)
        list_add(&q->numbers, q->want.at[i]);
    list_sort(&q->want);
    list_sort(&q->numbers);
    return cli_status(find_head(&q->head, q->head_name, q->mounted, &cli->err));
}

static void request_init(struct request *q)
{
    *q = (struct request){ .circles = 6, .least = 15, .most = 66 };
    output_init(&q->output);
    cc_head_init(&q->head);
}

static void request_clear(struct request *q)
{
    free(q->weight);
    free(q->unserved.at);
    free(q->want.at);
    free(q->numbers.at);
    cc_head_clear(&q->head);
}

/* ---- what is not served ---- */

/* By the planner, with the methods asked for; direct and plain need no search. */
static enum cc_status list_unserved_by(struct request *q, struct cc_error *err)
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
            list_add(&q->unserved, q->numbers.at[i]);
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

static enum cc_status list_unserved(struct request *q, struct cc_error *err)
{
    if (q->methods != 0)
        return list_unserved_by(q, err);
    for (size_t i = 0; i < q->numbers.n; i++)
        if (!cc_head_serves(&q->head, q->numbers.at[i]))
            list_add(&q->unserved, q->numbers.at[i]);
    return CC_OK;
}

static enum cc_status choose_circles(struct request *q, struct cc_error *err)
{
    q->weight = memory_get((q->unserved.n + 1) * sizeof *q->weight);
    for (size_t i = 0; i < q->unserved.n; i++)
        q->weight[i] = list_has(&q->want, q->unserved.at[i]) ? (long long)q->unserved.n + 1 : 1;
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

/* ---- words ---- */

static void methods_text(char *buf, size_t size, const struct request *q)
{
    size_t used = 0;

    if (q->methods == 0) {
        snprintf(buf, size, "direct or plain");
        return;
    }
    buf[0] = '\0';
    for (int m = 0; m < CC_METHODS && used < size; m++)
        if (q->methods >> m & 1)
            used += (size_t)snprintf(buf + used, size - used, "%s%s", used > 0 ? " or " : "",
                                     cc_method_name((enum cc_method)m));
}

/* A text that grows: long lists of numbers. */
struct grown {
    char *text;
    size_t used, room;
};

static void grow(struct grown *g, const char *separator, unsigned long number)
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

static bool new_plate_serves(const struct request *q, unsigned long number)
{
    for (size_t i = 0; i < q->plate.circles; i++)
        if (cc_circle_serves(q->head.worm, q->plate.circle[i], number))
            return true;
    return false;
}

/* ---- card ---- */

static void card_list(struct text *t, const struct request *q, bool left_only)
{
    struct grown g = { 0 };

    for (size_t i = 0; i < q->unserved.n; i++)
        if (!left_only || !new_plate_serves(q, q->unserved.at[i]))
            grow(&g, " ", q->unserved.at[i]);
    if (g.text != NULL)
        text_para(t, "  ", "  ", "%s", g.text);
    else
        text_line(t, "  none");
    free(g.text);
}

static void card_circles(struct text *t, const struct request *q)
{
    for (size_t i = 0; i < q->plate.circles; i++) {
        struct grown g = { 0 };
        char first[40];
        for (size_t k = 0; k < q->unserved.n; k++)
            if (cc_circle_serves(q->head.worm, q->plate.circle[i], q->unserved.at[k]))
                grow(&g, " ", q->unserved.at[k]);
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

/* How many of the wanted numbers the bound or the plate's weight stands for. */
static void card_proof(struct text *t, const struct request *q)
{
    const struct cc_new_plate *p = &q->plate;
    char count[40];

    if (p->served == p->servable)
        text_para(t, "", "  ", "Proved: no circle from %lu to %lu holes serves any of the rest.", q->least, q->most);
    else if (p->proved)
        text_para(t, "", "  ", "Proved: no %s from %lu to %lu holes serve%s more%s.", other_circles(count, sizeof count, p->circles),
                  q->least, q->most, p->circles == 1 ? "s" : "", q->want.n > 0 ? ", the wanted numbers first" : "");
    else
        text_para(t, "", "  ", "Best found, not proved: the search was cut off after %llu steps. Weight %lld, and no "
                  "choice has more than %lld.", p->nodes, p->weight, p->bound);
}

static void card_wanted(struct text *t, const struct request *q)
{
    for (size_t i = 0; i < q->want.n; i++) {
        unsigned long n = q->want.at[i];
        if (!list_has(&q->unserved, n))
            text_para(t, "  ", "    ", "%lu wanted: the head serves it already", n);
        else if (q->has_plate && new_plate_serves(q, n))
            text_para(t, "  ", "    ", "%lu wanted: served by the new plate", n);
        else
            text_para(t, "  ", "    ", "%lu wanted: not served", n);
    }
}

static void write_card(struct cli *cli, const struct request *q)
{
    struct text t;
    char methods[200];

    text_init(&t, cli->out, &q->output);
    methods_text(methods, sizeof methods, q);
    text_para(&t, "", "  ", "%s", q->head.title);
    text_para(&t, "", "  ", "%zu of %zu numbers have no exact %s setting:", q->unserved.n, q->numbers.n, methods);
    card_list(&t, q, false);
    card_wanted(&t, q);
    if (q->unserved.n == 0)
        return;
    if (q->methods == 0)
        text_para(&t, "  ", "  ", "Other methods may serve some of them exactly: see crankcard table, or say --method.");
    text_blank(&t);
    if (!q->head.has_worm) {
        text_para(&t, "", "  ", "The head has no worm, so there is no plate to add.");
        return;
    }
    if (!q->has_plate) {
        text_para(&t, "", "  ", "No circle from %lu to %lu holes serves any of them: more holes are needed (--most).",
                  q->least, q->most);
        return;
    }
    text_para(&t, "", "  ", "One more plate of %zu circle%s serves %zu of them by plain indexing:", q->plate.circles,
              q->plate.circles == 1 ? "" : "s", q->plate.served);
    card_circles(&t, q);
    card_proof(&t, q);
    text_blank(&t);
    text_line(&t, "Still left out");
    card_list(&t, q, true);
}

/* ---- csv, tsv, json ---- */

static void write_csv(struct cli *cli, const struct request *q)
{
    struct csv csv;

    csv_init(&csv, cli->out, q->output.format == FORMAT_TSV);
    csv_header(&csv, "number,wanted,circles");
    for (size_t i = 0; i < q->unserved.n; i++) {
        struct grown g = { 0 };
        for (size_t k = 0; q->has_plate && k < q->plate.circles; k++)
            if (cc_circle_serves(q->head.worm, q->plate.circle[k], q->unserved.at[i]))
                grow(&g, " ", q->plate.circle[k]);
        csv_number(&csv, (long long)q->unserved.at[i]);
        csv_field(&csv, list_has(&q->want, q->unserved.at[i]) ? "yes" : "no");
        csv_field(&csv, g.text);
        csv_end_row(&csv);
        free(g.text);
    }
}

static void json_list(struct json *json, const char *key, const struct list *list)
{
    json_open_array(json, key);
    for (size_t i = 0; i < list->n; i++)
        json_number(json, NULL, (long long)list->at[i]);
    json_close_array(json);
}

static void json_methods(struct json *json, const struct request *q)
{
    unsigned methods = q->methods != 0 ? q->methods : 1U << CC_DIRECT | 1U << CC_PLAIN;

    json_open_array(json, "methods");
    for (int m = 0; m < CC_METHODS; m++)
        if (methods >> m & 1)
            json_string(json, NULL, cc_method_name((enum cc_method)m));
    json_close_array(json);
}

static void json_plate(struct json *json, const struct request *q)
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

static void write_jsonl(struct cli *cli, const struct request *q)
{
    struct json json;

    json_open(&json, cli->out);
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
        json_open(&json, cli->out);
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

static int write_plates(struct cli *cli, struct request *q, int verdict)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    if (q->output.format == FORMAT_JSONL)
        write_jsonl(cli, q);
    else if (q->output.format == FORMAT_CARD)
        write_card(cli, q);
    else
        write_csv(cli, q);
    return output_end(&q->output, cli, verdict);
}

/* A new plate needs a worm to be used with. */
static int run_plates(struct cli *cli, struct request *q)
{
    enum cc_status s = list_unserved(q, &cli->err);

    if (s == CC_OK && q->unserved.n > 0 && q->head.has_worm)
        s = choose_circles(q, &cli->err);
    if (s != CC_OK && s != CC_ENOFIT)
        return EXIT_TROUBLE;
    cli->err = (struct cc_error){ .status = CC_OK };    /* "none" is said by the card and the records */
    return write_plates(cli, q, q->unserved.n == 0 || q->has_plate ? EXIT_YES : EXIT_NO);
}

/* ---- making a plate ---- */

#define MOST_GENERATIONS 8

struct making {
    struct cc_plan plan;
    mpq_t worm_error, drill_error, hole_floor, work_floor;
    bool assumed;                       /* the worm's error is */
    struct cc_generation at[MOST_GENERATIONS];
    size_t generations;
};

static void making_init(struct making *m)
{
    cc_plan_init(&m->plan);
    mpq_inits(m->worm_error, m->drill_error, m->hole_floor, m->work_floor, NULL);
    m->assumed = false;
    m->generations = 0;
    for (size_t i = 0; i < MOST_GENERATIONS; i++)
        cc_generation_init(&m->at[i]);
}

static void making_clear(struct making *m)
{
    for (size_t i = 0; i < MOST_GENERATIONS; i++)
        cc_generation_clear(&m->at[i]);
    mpq_clears(m->worm_error, m->drill_error, m->hole_floor, m->work_floor, NULL);
    cc_plan_clear(&m->plan);
}

static enum cc_status take_worm_error(struct making *m, const struct request *q, struct cc_error *err)
{
    struct cc_error why;
    mpq_srcptr stated = cc_head_holds(&q->head, false);

    if (q->holds != NULL) {
        enum cc_status s = cc_angle_parse(m->worm_error, q->holds, &why);
        if (s != CC_OK)
            return cc_fail(err, s, "--holds: %.300s", why.text);
        if (mpq_sgn(m->worm_error) < 0)
            return cc_fail(err, CC_EDOM, "--holds: '%.40s' is negative: write 0 or more", q->holds);
        return CC_OK;
    }
    m->assumed = stated == NULL;
    if (stated != NULL)
        mpq_set(m->worm_error, stated);
    else
        mpq_set_ui(m->worm_error, 1, 21600);
    return CC_OK;
}

static enum cc_status take_drill_error(struct making *m, const struct request *q, struct cc_error *err)
{
    struct cc_error why = { .status = CC_OK };
    mpq_t off, radius;
    enum cc_status s;

    if (q->drill == NULL)
        return CC_OK;
    mpq_inits(off, radius, NULL);
    s = cc_length_parse(off, q->drill, q->output.unit, &why);
    if (s == CC_OK && mpq_sgn(off) < 0)
        s = cc_fail(&why, CC_EDOM, "'%.40s' is negative: write 0 or more", q->drill);
    if (s != CC_OK)
        cc_fail(err, s, "--drill: %.300s", why.text);
    if (s == CC_OK) {
        s = cc_length_parse(radius, q->diameter, q->output.unit, &why);
        if (s == CC_OK && mpq_sgn(radius) <= 0)
            s = cc_fail(&why, CC_EDOM, "'%.40s' must be more than 0", q->diameter);
        if (s != CC_OK)
            cc_fail(err, s, "--diameter: %.300s", why.text);
    }
    if (s == CC_OK) {
        mpq_div_2exp(radius, radius, 1);
        cc_arc_angle(m->drill_error, off, radius);
    }
    mpq_clears(off, radius, NULL);
    return s;
}

/* The plan for the first plate: the smallest worst error there is, of the methods allowed. */
static enum cc_status plan_first(struct making *m, const struct request *q, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    struct cc_request request;
    enum cc_status s = cc_planner_new(&planner, &q->head, err);

    cc_request_init(&request);
    mpz_set_ui(request.divisions, q->make);
    /* nearest compound gains little here that the worm does not give, and costs a movement of the plate a hole */
    request.methods = q->methods != 0 ? q->methods : CC_ALL_METHODS & ~(1U << CC_NEAREST_COMPOUND);
    request.has_tolerance = true;       /* 0: nothing but the error counts */
    if (s == CC_OK)
        s = cc_planner_best(&m->plan, NULL, planner, &request, err);
    cc_request_clear(&request);
    cc_planner_free(planner);
    return s;
}

/* Until what is left of the rounding in the work is a hundredth of the floor. */
static enum cc_status follow_generations(struct making *m, const struct request *q, struct cc_error *err)
{
    enum cc_status s = CC_OK;
    mpq_t hundredth;
    bool more = true;

    mpq_init(hundredth);
    for (size_t g = 0; s == CC_OK && more && g < MOST_GENERATIONS; g++) {
        s = cc_generation_next(&m->at[g], g > 0 ? &m->at[g - 1] : NULL, q->head.worm, m->plan.worst_error,
                               m->worm_error, m->drill_error, err);
        m->generations = g + 1;
        if (g == 0 && s == CC_OK)
            cc_generation_floor(m->hole_floor, m->work_floor, q->head.worm, m->worm_error, m->drill_error);
        mpq_set_ui(hundredth, 1, 100);
        mpq_mul(hundredth, hundredth, m->work_floor);
        more = !m->plan.exact && (g == 0 || mpq_cmp(m->at[g].work_arithmetic, hundredth) > 0);
    }
    mpq_clear(hundredth);
    return s;
}

static const char *arcsec_text(char *buf, size_t size, const struct text *t, const mpq_t angle)
{
    cc_angle_error_str(buf, size, angle, 2, t->ascii ? CC_MARKS_ASCII : CC_MARKS_UTF8);
    return buf;
}

static void card_first_plate(struct text *t, const struct request *q, const struct making *m)
{
    char worst[80], pitch[80], where[200] = "";
    const struct cc_plan *p = &m->plan;

    if (p->circle2 != 0 && p->plate < q->head.plate_count)
        snprintf(where, sizeof where, ", plate %.60s side %u, circles %u and %u", q->head.plates[p->plate].name,
                 p->side, p->circle, p->circle2);
    else if (p->plate < q->head.plate_count)
        snprintf(where, sizeof where, ", plate %.60s side %u, circle %u", q->head.plates[p->plate].name, p->side,
                 p->circle);
    text_para(t, "", "  ", "%s", q->head.title);
    text_para(t, "", "  ", "A circle of %lu holes, made on this head", q->make);
    text_blank(t);
    text_para(t, "Plate 1: ", "         ", "%s indexing%s. %s", cc_method_name(p->method), where,
              p->exact ? "Exact by arithmetic." : "Not exact:");
    if (!p->exact)
        text_para(t, "         ", "         ", "holes up to %s off, up to %s from one to the next.",
                  arcsec_text(worst, sizeof worst, t, p->worst_error),
                  arcsec_text(pitch, sizeof pitch, t, p->worst_pitch));
    text_para(t, "         ", "         ", "The movements: crankcard divide %lu --method %s --tolerance 0", q->make,
              cc_method_name(p->method));
    if (!p->exact)
        text_para(t, "Then:    ", "         ", "drill plate 2 through plate 1, and so on; each is used on the crank, "
                  "where the worm divides its errors.");
}

static void card_assumptions(struct text *t, const struct making *m)
{
    char worm[80], drill[80];

    text_para(t, "", "  ", "The worm holds %s%s; drilling is off by up to %s.",
              arcsec_text(worm, sizeof worm, t, m->worm_error), m->assumed ? " (assumed)" : "",
              arcsec_text(drill, sizeof drill, t, m->drill_error));
}

static void card_generation_row(struct text *t, const char *name, const mpq_t hole, const mpq_t work,
                                const char *rounding)
{
    char a[80], b[80], pa[120], pb[120], pc[120];

    arcsec_text(a, sizeof a, t, hole);
    arcsec_text(b, sizeof b, t, work);
    text_line(t, "%5s %s %s %s", name, text_pad_left(pa, sizeof pa, a, 10), text_pad_left(pb, sizeof pb, b, 10),
              text_pad_left(pc, sizeof pc, rounding, 10));
}

static void write_make_card(struct cli *cli, const struct request *q, const struct making *m)
{
    struct text t;
    char rounding[80], name[24];

    text_init(&t, cli->out, &q->output);
    card_first_plate(&t, q, m);
    text_blank(&t);
    card_assumptions(&t, m);
    text_line(&t, "Worst error at most");
    text_line(&t, "plate      holes       work   rounding");
    for (size_t g = 0; g < m->generations; g++) {
        snprintf(name, sizeof name, "%zu", g + 1);
        card_generation_row(&t, name, m->at[g].hole_error, m->at[g].work_error,
                            arcsec_text(rounding, sizeof rounding, &t, m->at[g].work_arithmetic));
    }
    card_generation_row(&t, "floor", m->hole_floor, m->work_floor, "");
    text_blank(&t);
    text_para(&t, "", "", "Work is what is indexed through the plate; rounding is what is left in it of plate 1's "
              "setting. The floor is set by the worm and the drilling: %s.",
              m->plan.exact ? "with plate 1 exact by arithmetic, a second plate gains nothing"
                            : "more plates come nearer to it and never pass it");
    text_para(&t, "", "", "Clamp the blank well, keep hands clear of the drill; local rules come first.");
}

static void write_make_jsonl(struct cli *cli, const struct request *q, const struct making *m)
{
    struct json json;

    json_open(&json, cli->out);
    json_string(&json, "record", "make");
    json_number(&json, "schema", 1);
    json_string(&json, "command", "plates");
    json_string(&json, "head", q->head.title);
    json_rational(&json, "worm", q->head.worm);
    json_number(&json, "holes", (long long)q->make);
    json_string(&json, "method", cc_method_name(m->plan.method));
    json_bool(&json, "exact", m->plan.exact);
    json_number(&json, "circle", m->plan.circle);
    if (m->plan.circle2 != 0)
        json_number(&json, "circle2", m->plan.circle2);
    else
        json_null(&json, "circle2");
    json_arcsec(&json, "worst_error_arcsec", m->plan.worst_error);
    json_arcsec(&json, "worst_pitch_arcsec", m->plan.worst_pitch);
    json_arcsec(&json, "worm_error_arcsec", m->worm_error);
    json_bool(&json, "worm_error_assumed", m->assumed);
    json_arcsec(&json, "drill_error_arcsec", m->drill_error);
    json_arcsec(&json, "hole_floor_arcsec", m->hole_floor);
    json_arcsec(&json, "work_floor_arcsec", m->work_floor);
    json_close(&json);
    for (size_t g = 0; g < m->generations; g++) {
        json_open(&json, cli->out);
        json_string(&json, "record", "generation");
        json_number(&json, "plate", (long long)g + 1);
        json_arcsec(&json, "hole_rounding_arcsec", m->at[g].hole_arithmetic);
        json_arcsec(&json, "hole_error_arcsec", m->at[g].hole_error);
        json_arcsec(&json, "work_rounding_arcsec", m->at[g].work_arithmetic);
        json_arcsec(&json, "work_error_arcsec", m->at[g].work_error);
        json_close(&json);
    }
}

static void write_make_csv(struct cli *cli, const struct request *q, const struct making *m)
{
    struct csv csv;

    csv_init(&csv, cli->out, q->output.format == FORMAT_TSV);
    csv_header(&csv, "plate,hole_rounding_arcsec,hole_error_arcsec,work_rounding_arcsec,work_error_arcsec");
    for (size_t g = 0; g < m->generations; g++) {
        csv_number(&csv, (long long)g + 1);
        csv_arcsec(&csv, m->at[g].hole_arithmetic);
        csv_arcsec(&csv, m->at[g].hole_error);
        csv_arcsec(&csv, m->at[g].work_arithmetic);
        csv_arcsec(&csv, m->at[g].work_error);
        csv_end_row(&csv);
    }
}

static int write_make(struct cli *cli, struct request *q, const struct making *m)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    if (q->output.format == FORMAT_JSONL)
        write_make_jsonl(cli, q, m);
    else if (q->output.format == FORMAT_CARD)
        write_make_card(cli, q, m);
    else
        write_make_csv(cli, q, m);
    return output_end(&q->output, cli, EXIT_YES);
}

static int run_make(struct cli *cli, struct request *q)
{
    struct making m;
    enum cc_status s = CC_OK;

    if (!q->head.has_worm)
        return cli_trouble(cli, "--make: this head has no worm, so nothing divides a plate's errors");
    making_init(&m);
    s = take_worm_error(&m, q, &cli->err);
    if (s == CC_OK)
        s = take_drill_error(&m, q, &cli->err);
    if (s == CC_OK)
        s = plan_first(&m, q, &cli->err);
    if (s == CC_OK)
        s = follow_generations(&m, q, &cli->err);
    int status = s == CC_OK ? write_make(cli, q, &m) : cli_status(s);
    making_clear(&m);
    return status;
}

int cmd_plates(struct cli *cli, int argc, char **argv)
{
    struct request q;

    request_init(&q);
    int status = read_request(&q, cli, argc, argv);
    if (status == EXIT_YES)
        status = q.make != 0 ? run_make(cli, &q) : run_plates(cli, &q);
    request_clear(&q);
    return status;
}
