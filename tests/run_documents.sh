#!/bin/sh
# Documents as tests. Every record is what it declares (tests/fields.py). The ledger of wrong answers names tests
# that exist (tests/errata.py). Every line "$ crankcard ..." in a code
# block of a document is run, and what follows it up to the next "$ " line or the end of the block
# must be what it prints; a line "..." stands for any lines (tests/documents.py). With "rewrite" as first
# argument the lines are written anew where none is left out.
set -u
: "${CRANKCARD:?set it to the program to test}"
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
export CRANKCARD
"${PYTHON:-python3}" tests/fields.py || exit 1
"${PYTHON:-python3}" tests/errata.py || exit 1
rewrite=
[ "${1:-}" = rewrite ] && rewrite=--rewrite
# shellcheck disable=SC2086
exec "${PYTHON:-python3}" tests/documents.py $rewrite README.md DEVELOPERS.md docs/*.md
