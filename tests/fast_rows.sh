#!/bin/sh
# The two ways in which rows are written give the same bytes: see fast_rows.py.
set -u
: "${CRANKCARD:?set it to the program to test}"
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
export CRANKCARD LC_ALL=C
unset CRANKCARD_HEAD XDG_CONFIG_HOME XDG_DATA_HOME XDG_DATA_DIRS
exec "${PYTHON:-python3}" tests/fast_rows.py
