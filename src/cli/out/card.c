/*
 * card.c: the card that lies beside the machine: what, set up, steps, closing check, cautions.
 */
#include "cli/out/card.h"

#include <inttypes.h>
#include <string.h>

#include "cli/base/shell_words.h"
#include "cli/out/draw.h"
#include "cli/out/draw_gears.h"
#include "cli/out/setup.h"
#include "cli/out/words.h"

/* ---- set up ---- */

static void write_setup(struct text *t, const struct job *job)
{
    struct text_list list = { t, 0 };
    struct setup setup;

    text_heading(t, "Set up");
    setup_make(&setup, job);
    for (size_t i = 0; i < setup.n; i++)
        text_item(&list, "%s", setup.at[i].words);
    setup_clear(&setup);
}

/* ---- the end of the job ---- */

static void write_cautions(struct text *t, const struct job *job)
{
    if (job->view.brief) {
        text_para(t, "", "  ", "Cutter stopped and clear before hands go in; %s; local rules come first.",
                  job_is_helix(job) ? "clamp off, covers on" : "clamp on before every cut");
        return;
    }
    text_heading(t, "Cautions");
    text_para(t, "  ", "  ",
              "Cutter stopped and clear of the work before your hands go to the head. %s"
              "%swork secure before every cut. Eyes protected. The machine's own "
              "instructions and your shop's rules come first; if in doubt ask someone qualified.",
              job_is_helix(job) ? "Fingers and sleeves away from the gears, covers on, " : "Spindle clamp on, ",
              cc_plan_is_direct(&job->plan) ? "" : "worm clamp tight and ");
}

/* Who made it, of what, and room for whom it is for. */
static void write_foot(struct text *t, const struct job *job)
{
    char words[900];

    if (job->note != NULL)
        text_para(t, "", "  ", "Note: %s", job->note);
    text_line(t, t->width >= 60   ? "Name ________________  Date ____________  Pieces ______"
                 : t->width >= 34 ? "Name _____ Date _____ Pieces ____"
                                  : "Name ____ Date ____ Pieces ____");
    text_para(t, "", "  ", "Version %s; %s", cc_version(), job->head.title);
    if (job->word_count == 0)
        return;
    text_blank(t);
    shell_words_join(words, sizeof words, job->words, job->word_count);
    text_para(t, "", "  ", "crankcard %s", words);
}

static void write_steps(struct text *t, const struct job *job)
{
    uint64_t first, last;
    struct cc_error err;

    if (job->view.no_steps || !job_rows(job, &first, &last, &err))
        return;
    text_keep(t, 5);
    text_heading(t, "Steps");
    if (last - first > CARD_STEPS && !job->view.all_steps) {
        char count[WORDS];
        grouped(count, sizeof count, job->plan.steps);
        text_para(t, "  ", "  ", "%s steps are too many for a card. A part: --from 1 --to 100. All: "
                  "--all-steps, or --format csv.", count);
    } else {
        card_steps(t, job, first, last);
    }
    text_blank(t);
}

/* What every page of a card begins with: what, on which setting, by which movement. */
static void write_page_head(struct text *t, const struct job *job)
{
    char subject[2 * WORDS], setting[2 * WORDS], move[2 * WORDS] = "";
    int64_t turns, holes, holes2;

    card_subject(subject, sizeof subject, job);
    setting_words(setting, sizeof setting, &job->head, &job->plan);
    if (job->request.position_count == 0 && cc_plan_movement(&turns, &holes, &holes2, &job->plan)) {
        snprintf(move, sizeof move, ", ");
        movement_notation(move + 2, &job->plan, turns, holes, holes2);
    }
    text_head(t, "%s, %s%s", subject, setting, move);
}

/* In HTML: the plate and the work, beside the card. */
static void put_picture(struct text *t, const struct job *job)
{
    uint64_t first, last;
    struct cc_error err;
    char gears[2 * WORDS];
    FILE *picture = job_rows(job, &first, &last, &err) ? text_picture_begin(t) : NULL;

    if (picture == NULL)
        return;
    write_drawing(picture, job, first, last);
    text_picture_end(t);
    if (job->plan.train.pairs == 0 || (picture = text_picture_begin(t)) == NULL)
        return;
    gear_words(gears, sizeof gears, &job->plan.train);
    write_gear_drawing(picture, "Gears", gears, &job->plan.train, &job->head, CC_FOR_DIFFERENTIAL, job->output.unit);
    text_picture_end(t);
}

/* Closing check and cautions stay together, so that no page has cautions alone: so many characters in all, assumed. */
#define END_LENGTH 1000

void card_set_up(struct text *t, struct job *job)
{
    card_summary(t, job);
    text_blank(t);
    put_picture(t, job);
    if (job->view.working)
        card_working(t, job);
    if (!job->view.brief) {
        write_setup(t, job);
        text_blank(t);
    }
}

void card_run(struct text *t, const struct job *job)
{
    write_steps(t, job);
    text_keep_rest(t, 4 + END_LENGTH / (t->width - 8));
    card_closing(t, job);
    text_blank(t);
}

void card_end(struct text *t, const struct job *job)
{
    write_cautions(t, job);
    text_blank(t);
    write_foot(t, job);
}

void write_card(FILE *out, struct job *job)
{
    struct text t;

    text_init(&t, out, &job->output);
    write_page_head(&t, job);
    card_set_up(&t, job);
    card_run(&t, job);
    card_end(&t, job);
    text_end(&t);
}
