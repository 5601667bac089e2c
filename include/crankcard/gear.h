/*
 * gear.h: the blank, the cutter and the measurements of a spur, helical or bevel gear that is milled
 * with an involute form cutter on a dividing head.
 *
 * Lengths are millimetres, angles of a request revolutions (mpq_t, exact); what trigonometry gives is
 * a double with its unit in the name. Lengths that are rational (pitch diameter of a spur gear) stay exact.
 * docs/gear.md has every formula with its source or derivation.
 *
 * The module of a helical gear is the normal one, that of the cutter; the module of a bevel gear is
 * that of the large end. Dimensions are nominal: nothing is taken off for backlash.
 */
#ifndef CRANKCARD_GEAR_H
#define CRANKCARD_GEAR_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MAX_GEAR_TEETH 100000 /* teeth of a gear to be cut, most */
#define CC_MAX_MODULE 1000       /* mm, most; the least is 1/CC_MAX_MODULE */

/* ---- involute form cutters ---- */

enum cc_cutter_series {
    CC_CUTTERS_EIGHT = 0,  /* numbers 1 to 8 */
    CC_CUTTERS_FIFTEEN = 1 /* with the half numbers between: 1, 1 1/2, ... 7 1/2, 8 */
};

/*
 * One cutter of a series. Numbers run from 1 (135 teeth to a rack) to 8 (12 teeth). Some makers of
 * module cutters number the other way round: the range of teeth, not the number, is what counts.
 */
struct cc_cutter {
    unsigned halves; /* twice the number: 16 is number 8, 15 is 7 1/2; 0 = the series has none */
    unsigned first;  /* fewest teeth */
    unsigned last;   /* most teeth; 0 = a rack */
};

/*
 * The cutter for that many teeth (of a helical or bevel gear: the whole part of the formative number).
 *
 * Source: eight cutters, J. Rose, Modern Machine-Shop Practice, gear cutter table (1 to 7); the
 * last cutter and the half numbers are common practice (from memory).
 * Errors: CC_ENOFIT under 12 teeth, where both series end.
 */
enum cc_status cc_cutter_find(struct cc_cutter *cutter, enum cc_cutter_series series,
                              unsigned long teeth, struct cc_error *err);

/* "3", "7 1/2", or "none". snprintf manner. */
size_t cc_cutter_str(char *buf, size_t size, const struct cc_cutter *cutter);

/* "35-54", "135-rack", or "" for none. snprintf manner. */
size_t cc_cutter_range_str(char *buf, size_t size, const struct cc_cutter *cutter);

/* ---- what is asked for ---- */

enum cc_gear_kind { CC_GEAR_SPUR = 0, CC_GEAR_HELICAL = 1, CC_GEAR_BEVEL = 2 };

struct cc_gear_request {
    enum cc_gear_kind kind;
    unsigned long teeth;
    mpq_t module;          /* mm */
    mpq_t pressure_angle;  /* revolutions: 29/720 (14 1/2 degrees) or 1/18 (20 degrees), normal */
    mpq_t helix;           /* revolutions, at the pitch cylinder, 1 second or more and < 1/4; 0 unless helical */
    mpq_t profile_shift;   /* in modules, positive outward; 0 for bevel gears */
    unsigned long mate;    /* teeth of the mating gear; 0 = not given; bevel gears need it */
    mpq_t shaft_angle;     /* revolutions, bevel gears only */
    mpq_t face;            /* mm, face width of a bevel gear; 0 = a third of the cone distance */
    unsigned long span;    /* teeth to span; 0 = the usual number */
    mpq_t pin;             /* mm, pin diameter, at most 10 modules; 0 = 1.728 modules */
};

/* No teeth, module 1, 20 degrees, shafts at 90 degrees, everything else not given. */
void cc_gear_request_init(struct cc_gear_request *request);
void cc_gear_request_clear(struct cc_gear_request *request);

/* module = 127/5 / diametral_pitch. Errors: CC_EDOM unless diametral_pitch > 0. */
enum cc_status cc_module_of_pitch(mpq_t module, const mpq_t diametral_pitch, struct cc_error *err);

/* ---- the answer ---- */

/* What the machinist must be told, as bits of cc_gear.remarks. */
enum cc_gear_remark {
    CC_GEAR_NO_CUTTER = 1,       /* fewer formative teeth than the cutter series begin with */
    CC_GEAR_UNDERCUT = 2,        /* fewer teeth than a generated gear could have without undercut */
    CC_GEAR_POINTED = 4,         /* the flanks meet below the outside diameter */
    CC_GEAR_STEEP = 8,           /* helix over 45 degrees, more than most tables swing */
    CC_GEAR_NO_MESH = 16,        /* contact ratio with the mate below 1 (helical: not above 0) */
    CC_GEAR_INTERFERENCE = 32,   /* the tips of one reach past the involute of the other */
    CC_GEAR_SHIFTED = 64,        /* form cutters are made for gears without profile shift */
    CC_GEAR_LONG_FACE = 128,     /* bevel face over a third of the cone distance */
    CC_GEAR_BAD_SPAN = 256,      /* the jaws do not touch the flanks with that many teeth */
    CC_GEAR_BAD_PIN = 512        /* the pin does not rest on the flanks, or not clear of the blank */
};
#define CC_GEAR_REMARKS 10       /* how many there are: bits 0 to 9 */
#define CC_GEAR_NOT_SERVED (CC_GEAR_NO_CUTTER | CC_GEAR_NO_MESH) /* the answer to the request is "no" */

struct cc_gear {
    enum cc_gear_kind kind;
    unsigned long teeth, mate;
    mpq_t module;                 /* mm */
    mpq_t pitch_diameter;         /* mm; exact for spur and bevel gears */
    mpq_t outside_diameter;       /* mm, the blank; exact for spur gears */
    mpq_t addendum;               /* mm, exact */
    mpq_t whole_depth;            /* mm; exact at 20 degrees */
    double formative_teeth;       /* the teeth a cutter is chosen by */
    double undercut_teeth;        /* a generated gear with fewer is undercut; of the gear's own teeth */
    struct cc_cutter cutter;      /* of the eight */
    struct cc_cutter half_cutter; /* of the fifteen */
    double chordal_thickness_mm;  /* of a helical gear in the normal section, of a bevel at the large end */
    double chordal_addendum_mm;

    bool has_span;                /* spur and helical, where the jaws touch the flanks */
    unsigned long span_teeth;
    double span_mm;
    double span_face_mm;          /* face width a helical gear needs to be spanned; 0 for spur */
    bool has_pins;                /* spur and helical of 5 teeth or more, where the pins rest on the flanks */
    double pin_mm, over_pins_mm;  /* over balls, where a helical gear has an odd number of teeth */

    bool has_pair;                /* a mate was given: */
    double contact_ratio;         /* in the transverse plane; of a bevel pair by its formative teeth */
    mpq_t centre_distance;        /* mm; 0 for bevel gears; exact for spur gears without shift */

    /* helical gears, else 0 */
    double helix_deg;
    double lead_mm;               /* pi * pitch diameter / tan(helix) */
    double transverse_pressure_angle_deg;

    /* bevel gears, else 0 */
    double pitch_angle_deg, face_angle_deg;
    double root_angle_deg;        /* the tilt of the head: spindle axis against the table */
    double addendum_angle_deg, dedendum_angle_deg;
    double cone_distance_mm;      /* apex to pitch circle */
    double apex_to_crown_mm;      /* along the axis, apex to the tip circle of the large end */
    double face_mm, face_most_mm; /* as asked or a third; the third of the cone distance */
    double small_end;             /* tooth size at the small end over that at the large end */
    double cutter_most_mm;        /* space at the small end's pitch line: no cutter of the bevel series may be thicker there */
    double roll_deg;              /* to trim a flank: roll of the blank to start from; docs/gear.md, "Bevel gears" */

    unsigned remarks;             /* sum of enum cc_gear_remark */

    double deepen;                /* cut so much deeper for each mm that the span is too long: 1 / (2 sin alpha); docs/gear.md, "Deeper by the span" */
};

void cc_gear_init(struct cc_gear *gear);
void cc_gear_clear(struct cc_gear *gear);

/*
 * Everything about the gear that request asks for. gear is initialised and changes only on success.
 *
 * Proportions (common practice; docs/gear.md): addendum 1 module; clearance pi/20 module at 14 1/2 degrees
 * (US Navy training manual NAVEDTRA 14345, appendix IV) and 1/4 module at 20 degrees.
 *
 * Errors: CC_EDOM where a value is outside its domain or the pair needs an internal or a crown bevel
 * gear; what can be cut only with a reservation is CC_OK with remarks.
 */
enum cc_status cc_gear_compute(struct cc_gear *gear, const struct cc_gear_request *request,
                               struct cc_error *err);

/*
 * One remark in words, for this gear ("10 teeth: ..."); name of a remark for files ("undercut").
 * remark is one bit of gear->remarks. snprintf manner.
 */
size_t cc_gear_remark_str(char *buf, size_t size, const struct cc_gear *gear,
                          enum cc_gear_remark remark);
const char *cc_gear_remark_name(enum cc_gear_remark remark);

#ifdef __cplusplus
}
#endif

#endif
