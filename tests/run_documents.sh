#!/bin/sh
# Documents as tests: every line "$ crankcard ..." (or "    $ crankcard ...") in a code block of README.md, docs/*.md and
# examples/*.md is run, and what follows it up to the next "$ " line or the end of the block must be what
# it prints. A line "..." stands for any lines. tests/documents.py says more.
set -u
: "${CRANKCARD:?set it to the program to test}"
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
export CRANKCARD
exec "${PYTHON:-python3}" tests/documents.py README.md docs/*.md
