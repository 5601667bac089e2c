#!/bin/sh
# An assessment from measurements to a profile. All data is invented. Run from the root of the source tree.
set -eu
crankcard=${CRANKCARD:-build/crankcard}
here=examples/assess
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

"$crankcard" assess $here/bench.csv

"$crankcard" assess $here/bench.csv --head built-in --radius 28.5 --divisions 57 --class 9 --module 1

# Class 6 is too much to ask: status 1, and the card says what helps.
if "$crankcard" assess $here/bench.csv --head built-in --radius 28.5 --divisions 57 --class 6 --module 1; then
    echo "class 6 was not expected to be within reach" >&2
    exit 1
fi

"$crankcard" heads small-tilting --print > "$work/mine.ini"
"$crankcard" assess $here/bench.csv --write "$work/mine.ini" > "$work/card.txt"
grep '^worm = 53.6s' "$work/mine.ini"
"$crankcard" divide 127 --head "$work/mine.ini" --no-steps
