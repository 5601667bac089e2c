#include "cli/job.h"
void write_card(FILE *out, struct job *job) { (void)out; (void)job; }
