#!/bin/sh
# Invented scenario: the same workshop graduates a new dial for a screw of 0.1 in lead: 100 lines, one worth 0.001 in,
# every fifth longer, every tenth longer still and numbered. And a quadrant of 90 degrees with 19 marks, one at
# each end. OUTPUT is the folder for files (default: here).
set -eu
: "${CRANKCARD:=crankcard}" "${OUTPUT:=.}"
"$CRANKCARD" divide 100 --mark 5=mid --mark 10=long --number 10 --value 0.001 --output "$OUTPUT/dial-card.txt"
"$CRANKCARD" divide 19 --ends --arc 90 --mark 2=long --number 2 --value 5 --format tsv
cat "$OUTPUT/dial-card.txt"
