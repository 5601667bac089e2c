/*
 * head.h: a dividing head (or rotary table, or spin fixture) and the profile that describes it.
 *
 * A profile is INI text; docs/profile.md lists every key. Every key is optional, but a head needs a
 * worm with at least one plate circle or a dial, or a direct plate. Limits: CC_MAX_* below.
 */
#ifndef CRANKCARD_HEAD_H
#define CRANKCARD_HEAD_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>

#include "crankcard/bracket.h"
#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MIN_CIRCLE 2       /* holes in a circle, least */
#define CC_MAX_CIRCLE 10000   /* holes in a circle, most */
#define CC_MAX_CIRCLES 200    /* circles on one side of a plate, or on the direct plate */
#define CC_MAX_PLATES 64      /* plates of a head */
#define CC_MAX_SIDES 2        /* a plate has a side 1 and perhaps a side 2 */
#define CC_MAX_WORM 1000000   /* numerator and denominator of the worm ratio, most */
#define CC_MIN_TEETH 5        /* teeth of a change gear, least */
#define CC_MAX_TEETH 10000    /* teeth of a change gear, most */
#define CC_MAX_GEARS 64       /* change gears of a head: four of them make up to 4 million ratios */
#define CC_MAX_VERNIER 100    /* pins of a spin fixture; parts to which a vernier reads a space, or a detent shifts a pin */
#define CC_MAX_LINES 10000    /* lines of a dial or a rim in one turn */
#define CC_MAX_BY_EYE 100     /* parts that an eye reads between two lines */

/* A list of hole circles or tooth counts, in the order of the profile. Owned by its head. */
struct cc_counts {
    unsigned *at;
    size_t n;
};

struct cc_plate {
    char *name;                             /* "A"; never NULL, no blanks */
    struct cc_counts side[CC_MAX_SIDES];    /* side[0] is side 1; n = 0 where a side has no circles */
    unsigned detent;                        /* parts of a hole space by which the pin can be shifted; 1 where it cannot */
};

enum cc_spindle {           /* seen at the spindle nose, the crank turned clockwise */
    CC_SPINDLE_UNKNOWN = 0,
    CC_SPINDLE_WITH = 1,    /* the spindle turns clockwise too */
    CC_SPINDLE_AGAINST = 2
};

enum cc_plate_pin {         /* where the second pin of compound indexing stands */
    CC_PIN_SAME = 0,        /* in circles of the side that the crank pin uses (the default) */
    CC_PIN_OTHER = 1,       /* in circles of the plate's other side */
    CC_PIN_NONE = 2         /* there is none: the plate is bolted fast */
};

enum cc_way { CC_WAY_UNKNOWN = 0, CC_CLOCKWISE = 1, CC_COUNTER = 2 };     /* seen from the operator's side: way.h */

enum cc_numbered {          /* what the numbers on a dial count */
    CC_NUMBERED_ANGLE = 0,  /* degrees and minutes of the spindle */
    CC_NUMBERED_LINES = 1
};

/* The graduated dial on the shaft of the crank or handwheel; lines = 0 where there is none. */
struct cc_dial {
    unsigned lines;         /* in one crank turn */
    unsigned vernier;       /* parts to which it reads a space between two lines; 1 without one */
    enum cc_numbered numbered;
    bool fixed;             /* it cannot be set to zero on its shaft */
    enum cc_way rises;      /* the crank's way in which its readings rise */
};

/* The scale round the spindle's nose or the table's rim, in degrees; lines = 0 where there is none. */
struct cc_rim {
    unsigned lines;         /* in one turn of the spindle */
    unsigned vernier;       /* as of the dial */
    enum cc_way rises;      /* the crank's way in which its readings rise */
};

/* What the spindle is set by. */
enum cc_index {
    CC_INDEX_WORM = 0,      /* the crank pin in a plate */
    CC_INDEX_DIRECT = 1,    /* the direct plate */
    CC_INDEX_DIAL = 2       /* the crank, by the reading of its dial */
};

struct cc_head {
    char *name;             /* file or list name, "built-in" for the default; NULL in an empty head */
    char *title;            /* one line, "Dividing head" where none is given; NULL in an empty head */
    bool has_worm;          /* false for a spin fixture */
    mpq_t worm;             /* R, crank turns per spindle turn, > 0; 0 where has_worm is false */
    struct cc_plate *plates;
    size_t plate_count;
    size_t mounted_plate;   /* index in plates; == plate_count when none is named */
    unsigned mounted_side;  /* 1 or 2; 0 when no plate is named */
    bool has_tilt;
    mpq_t tilt_low, tilt_high;   /* revolutions */
    bool has_tilt_zero;
    mpq_t tilt_zero;        /* revolutions: what the tilt's own scale shows with the spindle truly level; 0 where it is not stated */
    enum cc_spindle spindle;
    enum cc_plate_pin plate_pin;
    bool plate_pin_stated;  /* the profile says so; else CC_PIN_SAME is planned for as a condition */
    struct cc_counts plate_pin_circles;     /* circles the second pin reaches, by their holes; n = 0: not stated, all */
    struct cc_counts crank_pin_circles;     /* the same of the crank pin */
    char *nose, *taper;     /* text, or NULL */
    struct cc_counts direct;     /* circles of the direct plate; n = 0 when there is none */
    struct cc_counts vernier;    /* pins of each circle of the direct plate, as many as circles; n = 0: a plain plate */
    char **direct_name;     /* what is engraved at each circle of the direct plate, as many as circles; NULL: nothing */
    struct cc_dial dial;
    struct cc_rim rim;
    struct cc_counts gears; /* change gears, ascending; a count twice means two such gears */
    bool reversed;          /* the plate turns the other way than docs/method.md says for a train */
    unsigned least_sum;     /* meshing pairs of gears need at least this many teeth together; 0 = no limit */
    unsigned most_sum;      /* and at most this many; 0 = no limit */
    struct cc_bracket bracket;  /* of the change gears */
    bool has_worm_accuracy, has_direct_accuracy, has_dial_accuracy;
    mpq_t worm_accuracy, direct_accuracy, dial_accuracy;    /* revolutions, >= 0 */
};

/* ---- lifetime ---- */

/* An empty head: no worm, no plates. */
void cc_head_init(struct cc_head *head);
void cc_head_clear(struct cc_head *head);
void cc_head_swap(struct cc_head *a, struct cc_head *b);

/* ---- reading ---- */

/*
 * Read a profile from text (length bytes, need not end in NUL). where is put before every message
 * ("workshop.ini:12: what"); name becomes head->name. head is initialised and is replaced only
 * on success. Lists of counts may go on in lines that begin with a digit, so that CC_MAX_CIRCLES
 * and CC_MAX_GEARS are within reach of short lines.
 *
 * Errors: CC_EPARSE or CC_EDOM with file:line: what; CC_ELIMIT over a CC_MAX_ limit or a line of
 * more than 190 bytes; CC_ENOMEM.
 */
enum cc_status cc_head_read(struct cc_head *head, const char *text, size_t length, const char *name,
                            const char *where, struct cc_error *err);

/* The compiled-in profile: its text is data/heads/small-tilting.ini, byte for byte. */
extern const char cc_default_profile[];
enum cc_status cc_head_default(struct cc_head *head, struct cc_error *err);

/*
 * Say which plate and side is on now, as the key mounted of a profile does: "B 1", "B2", "none". A
 * name alone ("B") means the first side that has circles; a plate that is called "B2" goes before
 * side 2 of plate B.
 *
 * Errors: CC_EDOM where the head has no such plate or side (the message lists those it has).
 */
enum cc_status cc_head_mount(struct cc_head *head, const char *text, struct cc_error *err);

/* ---- writing ---- */

/* The profile of head as INI text that cc_head_read reads back to an equal head. snprintf manner. */
size_t cc_head_str(char *buf, size_t size, const struct cc_head *head);

/* ---- questions ---- */

/* Pins of circle i of the direct plate; 1 where it has none of its own. */
unsigned cc_direct_pins(const struct cc_head *head, size_t i);

/* What is engraved at the direct plate's circle of so many holes, or NULL. */
const char *cc_direct_name(const struct cc_head *head, unsigned holes);

/* Whether a pin reaches circles of so many holes: where no circles are stated it reaches all. */
bool cc_pin_reaches(const struct cc_counts *circles, unsigned holes);

/* Whether it has a dial to index by. */
static inline bool cc_head_has_dial(const struct cc_head *head)
{
    return head->dial.lines > 0;
}

/* What the head holds when indexed so: NULL where it is not stated. */
mpq_srcptr cc_head_holds(const struct cc_head *head, enum cc_index by);

/*
 * What the head is taken to hold: as stated, else 2' through the worm and 5' by the direct plate, assumed (common
 * practice for a workshop head that nobody has measured); by the dial what it is through the worm. Revolutions; returns
 * whether it is stated.
 */
bool cc_head_taken_to_hold(mpq_t holds, const struct cc_head *head, enum cc_index by);

#ifdef __cplusplus
}
#endif

#endif
