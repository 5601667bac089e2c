/* words.h: plans, movements and errors in the words of the bench; cards, follow and recover say the same. */
#ifndef CRANKCARD_CLI_OUT_WORDS_H
#define CRANKCARD_CLI_OUT_WORDS_H

#include <stddef.h>

#include "crankcard/head.h"
#include "crankcard/plan.h"
#include "crankcard/train.h"
#include "cli/job/job.h"

#define WORDS 160       /* bytes that any of these needs at most, names of plates apart */

/* "plain indexing", "differential indexing by blocks of 4" ... */
void method_words(char *buf, size_t size, const struct cc_plan *plan);

/* The options that pick this plan out: "-m plain -c 49"; with_block: " -k 4" too, where it goes by blocks. */
void choice_words(char *buf, size_t size, const struct cc_plan *plan, bool with_block);

/* "5 turns and 35 holes of 49", "back 10 holes of 49", "no movement". */
void holes_words(char *buf, size_t size, int64_t turns, int64_t holes, unsigned circle);

/* Handbook notation of a movement: "5 35/49", "7/19+5/15", "-10/49+10/39", "4", "12 turns 3°25′40″"; buf has WORDS bytes. */
void movement_notation(char *buf, const struct cc_plan *plan, int64_t turns, int64_t holes, int64_t holes2);

/*
 * The whole movement in the order of the hands: "crank back 10 holes of 49 first, then plate
 * forward 10 holes of 39".
 */
void movement_words(char *buf, size_t size, const struct cc_plan *plan, int64_t turns,
                    int64_t holes, int64_t holes2);

/*
 * With a detent: what the hands do of a step, whole turns and holes from the hole that the pin leaves, both of one sign, and
 * the part to which the detent is set.
 */
void detent_move(int64_t *turns, int64_t *holes, unsigned *part, const struct cc_plan *plan, const struct cc_step *step);

/* That movement from hole to hole in handbook notation, "5 35/49"; buf has WORDS bytes. */
void detent_notation(char *buf, const struct cc_plan *plan, const struct cc_step *step);

/* Where a step leaves the pins: "35", "7|5" (crank pin's hole and plate's hole), "7 pin 5" (a vernier's), "35 d3" (a detent's); buf has WORDS bytes. */
void hole_words(char *buf, const struct cc_plan *plan, const struct cc_step *step);

/* "no idler", "idler 48 between them", "two idlers between them" where they have no names. */
void idler_words(char *buf, size_t size, const struct cc_train *train);

/* "32 on the spindle drives 40; on its stud 28 drives 56 on the worm shaft; no idler": any train of 1 to 3 pairs. */
void gear_words(char *buf, size_t size, const struct cc_train *train);

/* "worst error 2'45", from neighbour to neighbour ..., closing ..." of a plan that is not exact; "exact" of one that is. */
void error_words(char *buf, size_t size, const struct job *job, const struct cc_plan *plan);

/* An error at the radius, in the output's unit. */
double error_at_radius(const struct job *job, mpq_srcptr error);

/* The same in words, 4 decimals of the unit; what rounds to nothing has no sign. */
void radius_words(char *buf, size_t size, const struct job *job, mpq_srcptr error);

/* An error as an angle with 2 decimals of a second, and at the radius where one was given. */
void angle_words(char *buf, size_t size, const struct job *job, mpq_srcptr error);

/* A plan in one line: "the nearest hole, plate C, 49 circle: worst 2'45"". */
void plan_words(char *buf, size_t size, const struct job *job, const struct cc_plan *plan);

/* "24 circle", "36 circle, engraved OUTER" of a direct plan. */
void direct_circle_words(char *buf, size_t size, const struct cc_head *head, const struct cc_plan *plan);

/* Setting: "direct plate, 24 circle", "plate A side 1, circles 19 and 15", "plate B, 21 circle". */
void setting_words(char *buf, size_t size, const struct cc_head *head, const struct cc_plan *plan);

/* "about 35 min", "about 2 1/2 h" of a time in tenths of a second. */
void time_words(char *buf, size_t size, uint64_t tenths);

/* "2′00.0″ through the worm (assumed)": what the head is taken to hold. */
void held_words(char *buf, size_t size, const struct cc_head *head, enum cc_index by);

/* "No exact setting on this head: 18 circles, 45 pairs, 17 142 trains tried." of an answer that proves it. */
void proof_words(char *buf, size_t size, const struct job *job);

/* A fraction as the hand counts it: "42 1/3", "-2 1/3", "40". */
void mixed_words(char *buf, size_t size, const mpq_t value);

/* Where the spindle stands, in degrees, minutes and seconds within one turn. */
void spindle_words(char *buf, size_t size, const mpq_t revolutions);

/* Hole circles or teeth in the order of the profile: "15 16 17". */
void counts_words(char *buf, size_t size, const struct cc_counts *counts);

/* The number with blanks at the thousands: "17 142". */
void grouped(char *buf, size_t size, uint64_t n);

#endif
