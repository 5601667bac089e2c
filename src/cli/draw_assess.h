/* draw_assess.h: what was measured on a head, as a picture. */
#ifndef CRANKCARD_CLI_DRAW_ASSESS_H
#define CRANKCARD_CLI_DRAW_ASSESS_H

#include <stdio.h>

#include "crankcard/assess.h"
#include "crankcard/length.h"

struct assess_picture {
    const char *file, *head;        /* name of the measurements; title of the head */
    const struct cc_measurements *measured;
    const struct cc_findings *findings;     /* with a runout, positions or both */
    enum cc_unit unit;              /* of lengths printed */
    unsigned long divisions;        /* of the work; 0 where not given */
};

/* Runout round the turn, and errors along it. */
void write_assess_drawing(FILE *out, const struct assess_picture *picture);

#endif
