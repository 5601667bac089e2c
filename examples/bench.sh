#!/bin/sh
# Invented scenario: is this head good enough for a gear of 57 teeth, module 1? invented-readings.csv holds what an invented
# machinist measured on an invented head: a test bar in the taper, a mirror block, the spindle clamp, push and pull, a
# bar between centres. First what it says, then two flank classes, then the accuracy goes into a profile.
# OUTPUT is the folder for files (default: here).
set -eu
: "${CRANKCARD:=crankcard}" "${OUTPUT:=.}"
here=$(dirname "$0")
readings=$here/invented-readings.csv

"$CRANKCARD" assess "$readings"
"$CRANKCARD" assess "$readings" --format svg --output "$OUTPUT/bench-runout.svg"
"$CRANKCARD" assess "$readings" --radius 28.5 --divisions 57 --class 9 --module 1

# Class 6 is too much to ask: status 1, and the card says what helps.
status=0
"$CRANKCARD" assess "$readings" --radius 28.5 --divisions 57 --class 6 --module 1 || status=$?
test "$status" = 1

"$CRANKCARD" heads small-tilting --print > "$OUTPUT/bench-head.ini"
"$CRANKCARD" assess "$readings" --write "$OUTPUT/bench-head.ini" --format csv > "$OUTPUT/bench.csv"
grep '^worm = 53.6s' "$OUTPUT/bench-head.ini"
"$CRANKCARD" divide 127 --head "$OUTPUT/bench-head.ini" --no-steps

# A plate for what this head leaves out, and one made on the head itself.
"$CRANKCARD" plates 2-130 --most 130 --want 127 --head "$OUTPUT/bench-head.ini"
"$CRANKCARD" plates --make 127 --drill 0.03 --diameter 120 --head "$OUTPUT/bench-head.ini"
"$CRANKCARD" layout 127 --diameter 120 --pin 2 --format svg --output "$OUTPUT/bench-plate.svg"
