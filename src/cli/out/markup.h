/* markup.h: text inside XML and HTML. */
#ifndef CRANKCARD_CLI_OUT_MARKUP_H
#define CRANKCARD_CLI_OUT_MARKUP_H

#include <stdio.h>

/* Text with the signs escaped that markup reserves, in quotes too; what it forbids becomes a '?'. */
void markup_text(FILE *out, const char *text);

#endif
