/* head_proof.h: how to get to know a head at the bench and see that it is what its profile says. */
#ifndef CRANKCARD_CLI_SUBJECT_HEAD_PROOF_H
#define CRANKCARD_CLI_SUBJECT_HEAD_PROOF_H

#include "crankcard/head.h"
#include "cli/out/text.h"

void head_proof(struct text *t, const struct cc_head *head);

#endif
