#!/bin/sh
# Invented scenario: the workshop of a small harbour museum makes a spare hub for a lamp drive: 57 notches on
# a 90 mm rim, on the small tilting head. First the ways to do it, then the card, then the list for a spreadsheet.
# OUTPUT is the folder for files (default: here).
set -eu
: "${CRANKCARD:=crankcard}" "${OUTPUT:=.}"
"$CRANKCARD" methods 57
"$CRANKCARD" divide 57 --radius 45mm --output "$OUTPUT/hub-card.txt"
"$CRANKCARD" divide 57 --radius 45mm --format csv --output "$OUTPUT/hub-steps.csv"
cat "$OUTPUT/hub-card.txt"
