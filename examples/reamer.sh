#!/bin/sh
# Invented scenario: the workshop of a small harbour museum makes an 8 mm hand reamer of six flutes for the
# bushes of a lamp drive. Unequal spaces, opposite flutes in line: half the pattern is in reamer.angles, --repeat 2
# makes the other half. Then the same for a spreadsheet, with errors along the rim.
# OUTPUT is the folder for files (default: here).
set -eu
: "${CRANKCARD:=crankcard}" "${OUTPUT:=.}"
here=$(dirname "$0")
"$CRANKCARD" angles --file "$here/reamer.angles" --repeat 2 --radius 4mm
"$CRANKCARD" angles --file "$here/reamer.angles" --repeat 2 --radius 4mm --format csv --output "$OUTPUT/reamer.csv"
