/*
 * readings.h: dial, vernier and rim in words, for plans by the dial (crankcard/dial.h has them in numbers).
 *
 * Cards, follow and recover all write a reading so. A line of the dial and a part beyond it are two things for the eye, so
 * they stand apart wherever there is room: the line in dial_line_words, the part in dial_part_words.
 */
#ifndef CRANKCARD_CLI_OUT_READINGS_H
#define CRANKCARD_CLI_OUT_READINGS_H

#include <stddef.h>
#include <stdint.h>

#include "crankcard/dial.h"

/* The line at the index, or the last before it: "3°25′", "0°07′30″" where lines fall between minutes; "205" of a dial numbered in lines. */
void dial_line_words(char *buf, size_t size, const struct cc_plan *plan, uint64_t line);

/* The part beyond it: "4" of the vernier, "4 1/2" with the eye, "7/10" by eye alone; empty on the line itself. */
void dial_part_words(char *buf, size_t size, const struct cc_plan *plan, unsigned vernier, unsigned eye);

/* Both in one: "3°25′ v4", "205 v4 1/2", "3°25′ +7/10". */
void dial_words(char *buf, size_t size, const struct cc_plan *plan, const struct cc_dial_reading *reading);

/* What the rim must show: "51.4°" as an eye puts it between the lines, "51°25′" by a vernier. */
void rim_words(char *buf, size_t size, const struct cc_rim *rim, const struct cc_dial_reading *reading);

/* So many parts as an amount: "3°25′40″", "205 4/6 lines". */
void dial_amount_words(char *buf, size_t size, const struct cc_plan *plan, uint64_t parts);

/* An angle by what is in it: "4°", "1′", "5′24″", "2′33.75″". */
void plain_angle_words(char *buf, size_t size, const mpq_t revolutions);

/* What a space of the dial and a part of it are, of the spindle; revolutions. */
void dial_space(mpq_t revolutions, const struct cc_plan *plan);
void dial_part(mpq_t revolutions, const struct cc_plan *plan);

#endif
