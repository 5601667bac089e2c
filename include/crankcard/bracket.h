/*
 * bracket.h: what carries the studs of the change gears, as a profile describes it. docs/profile.md says how each is measured.
 *
 * Lengths are whole nanometres, rounded once when they are read, so that every question about them is answered in integers.
 * 0 is "not stated", except where a line says otherwise.
 */
#ifndef CRANKCARD_BRACKET_H
#define CRANKCARD_BRACKET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define CC_NM_OF_MM 1000000
#define CC_MAX_BRACKET_MM 10000     /* a length of a bracket, most */
#define CC_MAX_MODULE_MM 100
#define CC_MAX_STUDS 9

struct cc_reach {
    uint64_t low, high;     /* nm; the same where one length is stated */
};

enum cc_slot {
    CC_SLOT_WORM = 0,       /* one straight slot that swings about the worm shaft, and whose line goes through it (the default) */
    CC_SLOT_SPINDLE = 1,    /* about the spindle */
    CC_SLOT_SCREW = 2,      /* about the table screw */
    CC_SLOT_STRAIGHT = 3    /* it does not swing: the studs stand on the line from shaft to shaft */
};

struct cc_bracket {
    bool stated;                    /* the profile says anything of it */
    uint64_t module;                /* of the change gears; from dp where that is stated */
    unsigned dp;                    /* teeth to an inch of pitch diameter */
    struct cc_reach centres;        /* spindle to worm shaft */
    struct cc_reach lead_centres;   /* table screw to worm shaft; from drop and offset where those are stated they are 0 */
    bool has_drop, has_offset;      /* both or neither */
    uint64_t lead_drop, lead_offset;    /* the screw below the worm shaft, and beside it; 0 is a length too */
    struct cc_reach short_centres;  /* table screw to spindle */
    enum cc_slot slot;
    struct cc_reach reach;          /* a stud from the shaft about which the slot swings (straight: from the worm shaft) */
    unsigned studs;                 /* how many the bracket carries */
    unsigned planes;                /* in which gears stand, 2 or 3; 2 where it is not stated */
    uint64_t collar;                /* diameter of what stands about each shaft and stud beside the gears */
    bool has_clear, has_play;
    uint64_t clear;                 /* air between a gear and what it must not touch; 2 mm where it is not stated */
    uint64_t play;                  /* by which gears in mesh stand further apart; 0.1 mm where it is not stated */
    uint64_t spindle_most, worm_most, screw_most;   /* diameter of the largest gear that goes on that shaft */
    unsigned sleeve_least;          /* teeth of the smallest gear that goes on a sleeve with another */
};

/* The two shafts that a train joins. */
enum cc_gear_use {
    CC_FOR_DIFFERENTIAL = 0,    /* spindle to worm shaft */
    CC_FOR_LEAD = 1,            /* table screw to worm shaft */
    CC_FOR_SHORT_LEAD = 2       /* table screw to spindle */
};

/* Why a train does not go on, in the order in which it is looked into; or the key without which that is not known. */
enum cc_fit_key {
    CC_FIT_NOTHING = 0,
    CC_FIT_SUM,             /* least-sum, most-sum of [gears] */
    CC_FIT_ROOM,            /* the rule of any bracket: a gear on a stud would run into the next shaft */
    CC_FIT_SLEEVE,          /* sleeve_least */
    CC_FIT_STUDS,
    CC_FIT_MOST,            /* spindle_most, worm_most, screw_most */
    CC_FIT_MODULE,          /* never what fails */
    CC_FIT_COLLAR,          /* a gear would touch what stands about a shaft or stud */
    CC_FIT_PLANES,          /* two gears of one plane that do not mesh would touch */
    CC_FIT_REACH,
    CC_FIT_CENTRES          /* lead_centres, short_centres */
};
#define CC_FIT_KEYS 11

/* The key's name in a profile, as far as a use has one of its own: "reach", "lead_centres"; NULL for CC_FIT_NOTHING, CC_FIT_ROOM. */
const char *cc_fit_key_name(enum cc_fit_key key, enum cc_gear_use use);

/* What is wrong with a train that fails by the key: "a stud would stand outside the slot's reach". */
const char *cc_fit_key_why(enum cc_fit_key key);

/* Nothing stated, and what is then assumed. */
void cc_bracket_init(struct cc_bracket *bracket);

/* The section as text that reads back equal; nothing where nothing is stated. snprintf manner. */
size_t cc_bracket_str(char *buf, size_t size, const struct cc_bracket *bracket);

#ifdef __cplusplus
}
#endif

#endif
