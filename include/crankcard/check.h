/*
 * check.h: what a setting found in a book or on an old note really does on a head.
 */
#ifndef CRANKCARD_CHECK_H
#define CRANKCARD_CHECK_H

#include <gmp.h>
#include <stdbool.h>
#include <stdint.h>

#include "crankcard/head.h"
#include "crankcard/plan.h"
#include "crankcard/status.h"
#include "crankcard/train.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What the part of a movement by the dial is written in. */
enum cc_dial_part {
    CC_DIAL_NONE = 0,       /* it is no movement by the dial */
    CC_DIAL_ANGLE = 1,      /* an angle of the spindle, revolutions */
    CC_DIAL_LINES = 2       /* lines of the dial */
};

/* A movement in handbook notation, and the gears that turn the plate meanwhile. */
struct cc_setting {
    int64_t turns;          /* whole turns, of the sign of holes */
    int64_t holes;          /* of circle */
    unsigned circle;        /* 0 where only whole turns are moved */
    int64_t holes2;         /* of circle2, signed */
    unsigned circle2;       /* 0 for one part */
    enum cc_dial_part dial; /* whole turns and what the dial goes on by; no holes then */
    int64_t dial_num, dial_den;     /* that, >= 0 */
    int64_t part_num, part_den;     /* and parts of its vernier, >= 0 */
    struct cc_train train;  /* pairs = 0: the plate stands still */
    unsigned by_eye;        /* parts that are read by eye between what dial or vernier shows; 0 and 1: none */
};

/*
 * Read "2 14/21", "7/19+5/15", "10/39-10/49", "4": whole turns and holes/circle, at most two such parts,
 * each with its sign; whole turns belong to the first part that has them. By the dial: "12 turns 3d25m40s", "2 turns 35
 * lines", "3°25′ v4" with v parts of the vernier. train and by_eye are left as they are.
 *
 * Errors: CC_EPARSE, CC_EDOM for a circle under CC_MIN_CIRCLE or over CC_MAX_CIRCLE, CC_ELIMIT.
 */
enum cc_status cc_setting_parse(struct cc_setting *setting, const char *text, struct cc_error *err);

/* "2 14/21", "7/19+5/15" ...; snprintf manner. */
size_t cc_setting_str(char *buf, size_t size, const struct cc_setting *setting);

#define CC_MAX_SLIPS 8
#define CC_WHY_NOT 240

/* A small change to the setting that would make it exact: a slip of the hand, or gears of the head that were not named. */
struct cc_slip {
    struct cc_setting setting;      /* as it would be right */
    char what[120];                 /* what changed: "19 circle instead of 18", "two idlers instead of one" */
    bool fits_head;                 /* the head can be set so */
};

struct cc_check {
    mpq_t crank;            /* crank turns relative to the plate in one movement */
    mpq_t plate_turns;      /* e, signed; docs/method.md, "Differential" */
    mpq_t angle;            /* theta of one movement, revolutions = crank / (R - e) */
    mpz_t block;            /* k: as given, else the whole number nearest to N theta, at least 1 */
    mpz_t common;           /* gcd(k, N): 1, or every so many-th division alone is reached */
    mpq_t divisions;        /* (k/common) / theta: the divisions it really gives */
    mpq_t error;            /* theta - k/N of each movement, revolutions */
    mpq_t closing;          /* N theta - k after N movements, revolutions: the largest error of the job */
    bool exact;             /* N divisions, all of them reached */
    bool repeats;           /* common > 1: some divisions are never reached */
    bool fits_head;         /* this head can be set so */
    char why_not[CC_WHY_NOT];     /* if not, what it lacks */
    struct cc_slip slip[CC_MAX_SLIPS];
    size_t slips;           /* only where it is not exact */
};

void cc_check_init(struct cc_check *check);
void cc_check_clear(struct cc_check *check);

/*
 * What setting does on head for N divisions; block 0: the nearest. A movement that takes 2 of 20 divisions comes back to
 * the start after 10: with a factor common to k and N it is not exact, and gives fewer divisions.
 *
 * Errors: CC_EDOM for a head without a worm, N < 1, a movement of nothing, a simple train without an idler
 * (its gears do not reach), a train that turns the plate so that the spindle stands still or goes back.
 */
enum cc_status cc_check_setting(struct cc_check *check, const struct cc_setting *setting,
                                const struct cc_head *head, const mpz_t divisions, const mpz_t block,
                                struct cc_error *err);

/*
 * Whether the job as checked keeps the tolerance of request (cc_request_tolerance): the closing error is no larger, on
 * either side, and no division is left out.
 */
bool cc_check_is_within(const struct cc_check *check, const struct cc_request *request, const struct cc_head *head);

#ifdef __cplusplus
}
#endif

#endif
