#!/bin/sh
# A batch of mixed requests, one in a hundred bad: tests/batch_large.sh [LINES], 2000 unless told; 100000 takes
# a minute or so.
set -u
: "${CRANKCARD:?set it to the program to test}"
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
export CRANKCARD LC_ALL=C
unset CRANKCARD_HEAD XDG_CONFIG_HOME XDG_DATA_HOME XDG_DATA_DIRS
exec "${PYTHON:-python3}" tests/batch_large.py "${1:-2000}"
