/* follow_speech.c: what is to be done now, in one line to be read aloud. */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "cli/keep/follow.h"
#include "cli/keep/hands.h"
#include "cli/out/words.h"

static void add(char *buf, size_t size, const char *between, const char *words)
{
    size_t used = strlen(buf);

    snprintf(buf + used, size - used, "%s%s", used > 0 ? between : "", words);
}

static void say_moves(char *buf, size_t size, const struct follow *follow)
{
    struct hand_move moves[2];
    unsigned n = hand_moves(moves, &follow->job.plan, &follow->now);
    char words[WORDS], dial[WORDS], rim[WORDS];

    if (cc_plan_is_dial(&follow->job.plan)) {
        dial_place_words(dial, rim, sizeof dial, &follow->job, &follow->now);
        if (follow->now.turns != 0)
            snprintf(words, sizeof words, "%s%" PRId64 " turns, then", follow->now.turns < 0 ? "back " : "",
                     follow->now.turns < 0 ? -follow->now.turns : follow->now.turns);
        add(buf, size, ": ", follow->now.turns != 0 ? words : "on");
        add(buf, size, " to ", dial);
        return;
    }
    for (unsigned i = 0; i < n; i++) {
        hand_words(words, sizeof words, &moves[i]);
        add(buf, size, i == 0 ? ": " : ", then ", words);
    }
    if (n == 0)
        add(buf, size, ": ", "no movement");
    pins_words(words, sizeof words, &follow->job.plan, follow->now.hole, follow->now.hole2);
    add(buf, size, ". Lands in ", words);
}

static void say_work(char *buf, size_t size, const struct follow *follow)
{
    if (!follow->has_now) {
        snprintf(buf, size, "%s", journal_round_done(&follow->journal) ? "All made" : "The end, and some is open");
        return;
    }
    if (follow->now.closing)
        snprintf(buf, size, "Closing check, do not cut");
    else if (follow->now.step == 0)
        snprintf(buf, size, "Start");
    else
        snprintf(buf, size, "Step %" PRIu64, follow->now.step);
    if (follow->now.step > 0)
        say_moves(buf, size, follow);
}

bool follow_speak(struct follow *follow)
{
    char line[sizeof follow->spoken] = "";

    if (follow->aloud == NULL)
        return false;
    bool failed = read_aloud_has_failed(follow->aloud);
    if (failed)
        snprintf(follow->message, sizeof follow->message, "The program that reads aloud failed; the job goes on without it. "
                 "(--read-aloud %.60s)", follow->aloud->command.argv[0]);
    if (follow->stage == FOLLOW_AT_WORK)
        say_work(line, sizeof line, follow);
    else if (follow->stage == FOLLOW_CHECK)
        snprintf(line, sizeof line, "Check: look at head and work");
    else if (follow->stage == FOLLOW_MEASURE)
        snprintf(line, sizeof line, "Measure");
    else if (follow->stage == FOLLOW_MISSED)
        snprintf(line, sizeof line, "It did not fall right: cut nothing");
    if (line[0] != '\0' && strcmp(line, follow->spoken) != 0) {
        snprintf(follow->spoken, sizeof follow->spoken, "%s", line);
        read_aloud_line(follow->aloud, line);
    }
    return failed;
}
