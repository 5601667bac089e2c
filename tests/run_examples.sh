#!/bin/sh
# Every examples/*.sh runs without an error, in a folder of its own.
set -u
: "${CRANKCARD:?set it to the program to test}"
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
mkdir "$work/home"
export CRANKCARD HOME="$work/home" LC_ALL=C
unset CRANKCARD_HEAD XDG_CONFIG_HOME XDG_DATA_HOME XDG_DATA_DIRS XDG_STATE_HOME
count=0
for script in examples/*.sh; do
    OUTPUT=$work sh "$script" > "$work/log" 2>&1 || { echo "FAIL $script"; cat "$work/log"; exit 1; }
    count=$((count + 1))
done
echo "ok   $count examples"
