/* gears.h: change gears in words: whether they go on the bracket, where the studs stand, and in which order they go on. */
#ifndef CRANKCARD_CLI_OUT_GEARS_H
#define CRANKCARD_CLI_OUT_GEARS_H

#include "crankcard/fit.h"
#include "crankcard/plan.h"
#include "cli/out/form.h"
#include "cli/out/record.h"

#define GEAR_WORDS 1000

/* The two shafts that a train joins: "table screw", "worm shaft". */
const char *first_shaft(enum cc_gear_use use);
const char *last_shaft(enum cc_gear_use use);

/* "They go on the bracket, with 3.2 mm to spare.", or why that is not known. Nothing where they do not. */
void fit_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use,
               enum cc_unit unit);

/* Why they do not go on, and which arrangement would: "a gear ... next shaft; drivers 100,32, driven 24,48 would do". Nothing where they do. */
void unfit_why_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

/* "2 of 4 arrangements go on; of these it has the most room.", or nothing where there is only one. */
void arrangements_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

/* "Studs: 24 and 32, 45.1 mm from the worm shaft and 77.6 from the spindle.", or nothing where that is not known. */
void stud_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use,
                enum cc_unit unit);

/* One stud of them; where it is not placed, its gears alone. */
void post_words(char *buf, size_t size, const struct cc_post *post, bool placed, enum cc_gear_use use, enum cc_unit unit);

/* A train of one or two pairs in short: "56:24, idlers 40 44", "100:24 32:48, idler 72 in the first". */
void short_gear_words(char *buf, size_t size, const struct cc_train *train);

/* In which order the gears go on. */
void gear_order_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

/* What arrangements of gears were set aside by: "reach 2064, room 130", the most first; room is the rule of any bracket. */
#define UNFIT_WORDS 400
void unfit_words(char *buf, size_t size, const struct cc_searched *searched);

/* The members of a train's object that tell its fit. */
extern const struct field stud_fields[];
#define FIT_FIELDS \
    FIELD("idler_teeth", COUNTS, "teeth of the idlers, from the first shaft on; none without idlers, or for more than two"), \
    FIELD("fit", TEXT, "yes; barely: less than a hundredth of a module to spare; unknown: nothing that the profile states is against it; " \
          "no: of a train that was given to check"), \
    FIELD("fit_key", TEXT, "the key of [bracket] without which the fit is unknown, or by which it is no; else null"), \
    FIELD("room_mm", LENGTH, "the least that any distance on the bracket has to spare; null where the fit is unknown"), \
    MEMBERS("studs", OBJECTS, stud_fields, "from the first shaft on; null where it is not known where they stand")
struct fit_said {
    unsigned idlers;            /* whose teeth are known */
    const char *fit, *key;      /* key may be NULL */
    bool known;
    uint64_t margin;            /* nm, where known */
};
struct fit_said fit_said(const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);
void record_fit(struct record *r, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

#endif
