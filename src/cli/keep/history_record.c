/* history_record.c: how a job went, for programs. */
#include <string.h>

#include "cli/keep/history.h"
#include "cli/out/record.h"

static const struct field open_fields[] = {
    FIELD("pass", COUNT, "of this pass"),
    FIELD("first", COUNT, "from this step"),
    FIELD("last", COUNT, "to this one"),
    FIELDS_END
};

static const struct field job_fields[] = {
    ANSWER_FIELDS("job"),
    FIELD("job", TEXT, "its name"),
    FIELD("words", TEXTS, "the request as typed"),
    FIELD("plan_line", TEXT, "the plan as the journal has it"),
    FIELD("steps", COUNT, "movements after row 0"),
    FIELD("done", BOOLEAN, "whether nothing is open, of all pieces and passes"),
    FIELD("piece", COUNT, "the piece at work"),
    FIELD("pieces", COUNT, "how many were asked for; else null"),
    FIELD("pass", COUNT, "the pass at work; 0 the trial round, null before it"),
    FIELD("passes", TEXTS, "the remark of each pass, empty where there is none"),
    FIELD("confirmed", COUNT, "positions confirmed in the round at work"),
    FIELD("of", COUNT, "of so many"),
    MEMBERS("open", OBJECTS, open_fields, "steps of the piece at work that were passed over"),
    FIELD("backs", COUNT, "how often it was gone back"),
    FIELD("notes", COUNT, "how many there are"),
    FIELD("pauses", COUNT, "how often it was left and gone on with"),
    FIELD("pause_s", SECONDS, "all pauses"),
    FIELD("pace_s", SECONDS, "median of the last movements; null where none is known"),
    FIELDS_END
};
const struct form job_form = { .name = "job", .fields = job_fields };

static const struct field event_fields[] = {
    RECORD_FIELD("event"),
    FIELD("event", TEXT, "begun, set_up, trial, pass, made, back, go, note, check, measured, closing_wrong, opened or piece"),
    FIELD("at", TEXT, "when, UTC; null of a remark, and of older journals in part"),
    FIELD("piece", COUNT, "in which piece"),
    FIELD("pass", COUNT, "in which pass; 0 the trial round, null during the set-up"),
    FIELD("step", COUNT, "of which step; of set_up how many items are ticked"),
    FIELD("cut_from", COUNT, "go: steps from here up to step were cut already, by the machinist's word; else null"),
    FIELD("seconds", SECONDS, "made: since the one before; opened: the pause; else null"),
    FIELD("as_it_must", BOOLEAN, "check: whether all was as it must be; else null"),
    FIELD("text", TEXT, "of a remark or a pass; else null"),
    FIELDS_END
};
const struct form event_form = { .name = "event", .fields = event_fields };

static const char *at_or_null(const struct journal_event *event)
{
    return event->at[0] != '\0' ? event->at : NULL;
}

/* Rows passed over and left for later, of each pass of the piece at work. */
static void put_open(struct record *r, const struct journal *journal)
{
    struct row_run run;

    record_array(r, "open");
    for (uint64_t pass = 1; journal->round == JOURNAL_CUT && pass <= journal->pass_count; pass++) {
        uint64_t end;
        const struct row_set *made = journal_begun_pass(journal, pass, &end);
        for (uint64_t row = journal_first(journal); made != NULL && row < end && row_set_gap(&run, made, row, end - 1);
             row = run.last + 1) {
            record_object(r, NULL);
            record_count(r, "pass", pass);
            record_count(r, "first", run.first);
            record_count(r, "last", run.last);
            record_object_end(r);
        }
    }
    record_array_end(r);
}

static void put_passes(struct record *r, const struct journal *journal)
{
    record_array(r, "passes");
    for (size_t i = 0; i < journal->pass_count; i++)
        record_string(r, NULL, journal->passes[i].text != NULL ? journal->passes[i].text : "");
    record_array_end(r);
}

static void put_job(struct record *r, const struct history *history, const struct journal *journal)
{
    uint64_t made, all;

    journal_count(&made, &all, journal);
    record_begin(r, &job_form, "follow");
    record_string(r, "job", journal->name);
    record_array(r, "words");
    for (size_t i = 0; i < journal->word_count; i++)
        record_string(r, NULL, journal->words[i]);
    record_array_end(r);
    record_string(r, "plan_line", journal->plan);
    record_count(r, "steps", journal->steps);
    record_bool(r, "done", journal_done(journal));
    record_count(r, "piece", journal->piece);
    record_count_if(r, journal->course.pieces > 0, "pieces", journal->course.pieces);
    record_count_if(r, journal->round != JOURNAL_SET_UP, "pass", journal->round == JOURNAL_CUT ? journal->pass : 0);
    put_passes(r, journal);
    record_count(r, "confirmed", made);
    record_count(r, "of", all);
    put_open(r, journal);
    record_count(r, "backs", history_count(history, EVENT_BACK));
    record_count(r, "notes", history_count(history, EVENT_NOTE));
    record_count(r, "pauses", history_count(history, EVENT_OPENED));
    record_count(r, "pause_s", history_seconds(history, EVENT_OPENED));
    record_count_if(r, journal->time_count > 0, "pace_s", journal_median(journal));
    record_end(r);
}

static void put_event(struct record *r, const struct journal_event *event)
{
    record_begin(r, &event_form, NULL);
    record_string(r, "event", journal_event_name(event->kind));
    record_string(r, "at", at_or_null(event));
    record_count(r, "piece", event->piece);
    record_count_if(r, event->in_round, "pass", event->pass);
    record_count_if(r, event->has_step, "step", event->step);
    record_count_if(r, event->has_from, "cut_from", event->from);
    record_count_if(r, event->has_seconds, "seconds", event->seconds);
    record_bool_if(r, event->kind == EVENT_CHECK, "as_it_must", event->right);
    record_string(r, "text", event->text);
    record_end(r);
}

void history_records(FILE *out, const struct output *output, const struct history *history, const struct journal *journal)
{
    struct record r;

    record_init(&r, out, output, &event_form);
    if (!r.table)
        put_job(&r, history, journal);
    for (size_t i = 0; i < history->n && !ferror(out); i++)
        put_event(&r, &history->at[i]);
    record_clear(&r);
}
