/* cmd_heads.c: the heads that are known, what one is, and how to prove that it is so. */
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/defaults.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/base/exit_status.h"
#include "cli/keep/kept_job.h"
#include "cli/out/text.h"
#include "cli/out/words.h"
#include "cli/subject/head_proof.h"

/* A circle of the direct plate, with its own pins or a name at it. */
static void show_direct_circle(struct text *t, const struct cc_head *head, size_t i)
{
    const char *name = head->direct_name != NULL ? head->direct_name[i] : NULL;
    unsigned pins = cc_direct_pins(head, i);
    char positions[60] = "";

    if (pins > 1)
        snprintf(positions, sizeof positions, " with %u pins: %u positions", pins, head->direct.at[i] * pins);
    text_para(t, i == 0 ? "  direct     " : "             ", "             ", "%s%s%u holes%s", name != NULL ? name : "",
              name != NULL ? ": " : "", head->direct.at[i], positions);
}

/* The labels stand in a column of their own. */
static void show_worm_and_direct(struct text *t, const struct cc_head *head)
{
    char list[2048], worm[64];

    if (head->has_worm) {
        cc_rational_str(worm, sizeof worm, head->worm);
        text_para(t, "  worm       ", "             ", "%s crank turn%s to one turn of the spindle", worm, strcmp(worm, "1") == 0 ? "" : "s");
    } else {
        text_para(t, "  worm       ", "             ", "none");
    }
    if (head->direct.n == 0)
        return;
    if (head->vernier.n == 0 && head->direct_name == NULL) {
        counts_words(list, sizeof list, &head->direct);
        text_para(t, "  direct     ", "             ", "%s holes", list);
        return;
    }
    for (size_t i = 0; i < head->direct.n; i++)
        show_direct_circle(t, head, i);
}

/* What two gears that mesh must have together. */
static void show_sums(struct text *t, const struct cc_head *head)
{
    char least[32] = "", most[32] = "";

    if (head->least_sum > 0)
        snprintf(least, sizeof least, "%u or more", head->least_sum);
    if (head->most_sum > 0)
        snprintf(most, sizeof most, "%u or less", head->most_sum);
    if (least[0] != '\0' || most[0] != '\0')
        text_para(t, "             ", "             ", "two that mesh have together %s%s%s teeth", least,
                  least[0] != '\0' && most[0] != '\0' ? ", " : "", most);
}

/* The circles that a pin is said to reach; nothing where it reaches all. */
static void show_reach(struct text *t, const char *pin, const struct cc_counts *circles)
{
    char list[2048];

    if (circles->n == 0)
        return;
    counts_words(list, sizeof list, circles);
    text_para(t, "             ", "             ", "%s %s", pin, list);
}

/* As its section states it, on one line. */
static void show_bracket(struct text *t, const struct cc_bracket *bracket)
{
    char section[1000], words[1000];
    size_t used = 0;

    if (!bracket->stated)
        return;
    cc_bracket_str(section, sizeof section, bracket);
    for (const char *p = strchr(section, ']') + 2; *p != '\0' && used + 3 < sizeof words; p++) {
        if (*p != '\n')
            words[used++] = *p;
        else if (p[1] != '\0')
            used += (size_t)snprintf(words + used, sizeof words - used, "; ");
    }
    words[used] = '\0';
    text_para(t, "  bracket    ", "             ", "%s (mm)", words);
}

static void show_plates_and_gears(struct text *t, const struct cc_head *head)
{
    char list[2048];

    for (size_t p = 0; p < head->plate_count; p++) {
        for (unsigned s = 0; s < CC_MAX_SIDES; s++) {
            if (head->plates[p].side[s].n == 0)
                continue;
            bool on = p == head->mounted_plate && s + 1 == head->mounted_side;
            counts_words(list, sizeof list, &head->plates[p].side[s]);
            char detent[64] = "";
            if (head->plates[p].detent > 1)
                snprintf(detent, sizeof detent, "; detent to 1/%u of a hole space", head->plates[p].detent);
            text_para(t, "  plate      ", "             ", "%s, side %u: %s%s%s", head->plates[p].name,
                      s + 1, list, on ? " (on now)" : "", detent);
        }
    }
    if (head->gears.n > 0) {
        counts_words(list, sizeof list, &head->gears);
        text_para(t, "  gears      ", "             ", "%s%s", list, head->reversed ? " (reversed)" : "");
        show_sums(t, head);
    }
    show_bracket(t, &head->bracket);
    if (head->plate_count > 0)
        text_para(t, "  second pin ", "             ", "%s",
                  head->plate_pin == CC_PIN_NONE    ? "none, the plate is bolted fast: no compound indexing"
                  : head->plate_pin == CC_PIN_OTHER ? "in the circles of the plate's other side"
                  : head->plate_pin_stated          ? "in circles of the same side"
                                                    : "not stated: planned for in circles of the same side, as a condition");
    show_reach(t, "second pin reaches", &head->plate_pin_circles);
    show_reach(t, "crank pin reaches", &head->crank_pin_circles);
}

static const char *rises_words(enum cc_way rises)
{
    return rises == CC_CLOCKWISE ? ", rises with the crank turned clockwise"
           : rises == CC_COUNTER ? ", rises with the crank turned counter-clockwise"
                                 : "";
}

static void show_scales(struct text *t, const struct cc_head *head)
{
    char vernier[40] = "";

    if (cc_head_has_dial(head)) {
        if (head->dial.vernier > 1)
            snprintf(vernier, sizeof vernier, ", vernier to 1/%u", head->dial.vernier);
        text_para(t, "  dial       ", "             ", "%u lines%s, numbered in %s%s%s", head->dial.lines, vernier,
                  head->dial.numbered == CC_NUMBERED_ANGLE ? "angles of the spindle" : "lines", rises_words(head->dial.rises),
                  head->dial.fixed ? "; it cannot be set to zero" : "");
    }
    if (head->rim.lines == 0)
        return;
    vernier[0] = '\0';
    if (head->rim.vernier > 1)
        snprintf(vernier, sizeof vernier, ", vernier to 1/%u", head->rim.vernier);
    text_para(t, "  rim        ", "             ", "%u lines%s%s", head->rim.lines, vernier, rises_words(head->rim.rises));
}

static void show_tilt(struct text *t, const struct cc_head *head)
{
    char low[64], high[64], zero[64];
    mpq_t deg;

    if (!head->has_tilt)
        return;
    mpq_init(deg);
    cc_angle_degrees(deg, head->tilt_low);
    cc_decimal_short_str(low, sizeof low, deg, 3);
    cc_angle_degrees(deg, head->tilt_high);
    cc_decimal_short_str(high, sizeof high, deg, 3);
    mpq_clear(deg);
    cc_angle_error_str(zero, sizeof zero, head->tilt_zero, 0, CC_MARKS_UTF8);
    text_para(t, "  tilt       ", "             ", "%s° to %s°%s%s", low, high, head->has_tilt_zero ? "; its scale shows this when level: " : "",
              head->has_tilt_zero ? zero : "");
}

static void show_accuracy(struct text *t, const struct cc_head *head)
{
    char error[64];

    static const struct {
        const char *label, *how;
    } words[] = {
        [CC_INDEX_WORM] = { "  accuracy   ", "through the worm" },
        [CC_INDEX_DIRECT] = { "  direct     ", "on the direct plate" },
        [CC_INDEX_DIAL] = { "  dial       ", "by the dial" },
    };
    for (enum cc_index by = CC_INDEX_WORM; by <= CC_INDEX_DIAL; by++) {
        mpq_srcptr holds = cc_head_holds(head, by);
        if (holds == NULL)
            continue;
        cc_angle_error_str(error, sizeof error, holds, 1, CC_MARKS_UTF8);
        text_para(t, words[by].label, "             ", "holds %s %s", error, words[by].how);
    }
}

static void show_head(struct text *t, const struct cc_head *head)
{
    text_para(t, "", "  ", "%s", head->title);
    show_worm_and_direct(t, head);
    show_plates_and_gears(t, head);
    show_scales(t, head);
    show_tilt(t, head);
    if (head->spindle != CC_SPINDLE_UNKNOWN)
        text_para(t, "  spindle    ", "             ", "turns %s a clockwise crank, seen at its nose",
                  head->spindle == CC_SPINDLE_WITH ? "with" : "against");
    if (head->nose != NULL)
        text_para(t, "  nose       ", "             ", "%s", head->nose);
    if (head->taper != NULL)
        text_para(t, "  taper      ", "             ", "%s", head->taper);
    show_accuracy(t, head);
}

/* A name and what it is; on a narrow page below it. */
static void list_name(struct text *t, const char *name, const char *what, const char *words)
{
    char first[64];

    snprintf(first, sizeof first, "  %-22s ", name);
    if (t->width < 50)
        text_para(t, "  ", "    ", "%s: %s%s", name, what, words);
    else
        text_para(t, first, "                         ", "%s%s", what, words);
}

static void list_one(void *context, const char *name, const char *path)
{
    struct text *t = context;
    struct cc_head head;
    struct cc_error err = { 0 };

    cc_head_init(&head);
    if (find_head(&head, path, NULL, &err) == CC_OK)
        list_name(t, name, "", head.title);
    else
        list_name(t, name, "cannot be used: ", err.text);
    cc_head_clear(&head);
}

static int list_heads(struct text *t, struct cli *cli)
{
    text_line(t, "Heads for --head NAME:");
    text_line(t, "%s", "");
    list_name(t, "built-in", "", "taken when nothing else is said: the same as small-tilting");
    if (find_head_each(list_one, t, &cli->err) != CC_OK)
        return EXIT_TROUBLE;
    text_line(t, "%s", "");
    text_para(t, "", "",
              "Count the holes of your own plates before you trust a list. To describe your head: crankcard "
              "heads small-tilting --print > my-head.ini, edit it, and check it with crankcard heads "
              "my-head.ini. Saved as head.ini where crankcard heads --where says, it is taken always.");
    return EXIT_YES;
}

static int print_profile(struct cli *cli, const struct cc_head *head)
{
    char *text = kept_head_text(head);

    fputs("; What a head states. Other keys, each in its section, where they are true of yours:\n"
          ";   [head]      spindle = with        or against the clock at the nose, crank clockwise\n"
          ";               plate_pin = none      no second pin; same: the plate turns and has one; other: in its other side\n"
          ";               nose = 1 1/2-8        taper = MT2\n"
          ";   [dial]      lines = 240           vernier = 6     the crank's graduated dial; [rim] lines = 360: degrees round the nose\n"
          ";   [gears]     teeth = 24 24 28 32   change gears, two of a count named twice\n"
          ";   [bracket]   module = 1.25         centres = 118.5   reach = 38 150   collar = 24: which gears go on (docs/profile.md)\n"
          ";   [accuracy]  worm = 1'             direct = 5'     dial = 1'   what the head holds\n"
          "; What yours has not: take the line away. Then: crankcard heads FILE, and --prove.\n\n",
          cli->out);
    fputs(text, cli->out);
    free(text);
    return EXIT_YES;
}

struct heads_question {
    const char *name;       /* or NULL */
    bool print, where, prove;
    bool one;               /* it is about one head */
    struct output output;
};

static const struct option_row heads_options[] = {
    { TO_SWITCH(struct heads_question, print), 'p', "print", NULL, "write the profile, to be edited and saved as your own" },
    { TO_SWITCH(struct heads_question, where), 0, "where", NULL, "say which files and folders are looked at" },
    { TO_SWITCH(struct heads_question, prove),
      0, "prove", NULL, "a short bench procedure that shows the head is what its profile says" },
    { TO_COUNT(struct heads_question, output.width, FROM(OUTPUT_LEAST_WIDTH, OUTPUT_MOST_WIDTH)), 'w', "width", "COLUMNS", "columns, 32 to 200 (default 72)" },
    { TO_SWITCH(struct heads_question, output.ascii), 0, "ascii", NULL, "7-bit characters only" },
    OPTIONS_END
};

static const struct option_table heads_tables[] = { OWN_OPTIONS(heads_options), FILE_OPTIONS(struct heads_question, output), TABLES_END };

static int read_question(struct heads_question *q, struct cli *cli, int argc, char **argv)
{
    output_init(&q->output);
    if (!args_read_one(&q->name, "heads takes one NAME", q, heads_tables, argc, argv, &cli->err))
        return EXIT_TROUBLE;
    if (q->print + q->where + q->prove > 1)
        return cli_trouble(cli, "--print, --where and --prove are three answers: ask for one");
    q->one = !q->where && (q->name != NULL || q->print || q->prove);
    return EXIT_YES;
}

static int write_answer(const struct heads_question *q, struct cli *cli, const struct cc_head *head)
{
    struct text t;

    text_init(&t, cli->out, &q->output);
    if (q->where) {
        find_head_where(cli->out);
        defaults_where(cli->out);
    } else if (!q->one)
        return list_heads(&t, cli);
    else if (q->print)
        return print_profile(cli, head);
    else if (q->prove)
        head_proof(&t, head);
    else
        show_head(&t, head);
    return EXIT_YES;
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct heads_question q = { .name = NULL };
    struct cc_head head;
    int status = read_question(&q, cli, argc, argv);

    if (status != EXIT_YES)
        return status;
    cc_head_init(&head);
    if (q.one)
        status = cli_status(find_head(&head, q.name, NULL, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&q.output, cli);
    if (status == EXIT_YES)
        status = output_end(&q.output, cli, write_answer(&q, cli, &head));
    cc_head_clear(&head);
    return status;
}

const struct command cmd_heads = {
    .name = "heads",
    .operands = "[NAME]",
    .options = heads_tables,
    .any_defaults = true,
    .run = run_command,
    .summary = "list, show, check and print the profiles of dividing heads",
    .about = "Without a name, lists the heads that can be given to --head. With one, shows what it\n"
             "has; crankcard table 2-400 --gaps --head NAME shows what it cannot divide exactly.\n",
    .examples = "  crankcard heads\n"
                "  crankcard heads small-tilting --print > my-head.ini\n"
                "  crankcard heads my-head.ini --prove\n",
};
