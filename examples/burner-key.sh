#!/bin/sh
# Invented scenario: the same workshop makes a key for a lamp burner: a hexagon 13 mm across on 16 mm bar, a square of 8 mm on its
# turned-down end, keyed to it, and a cross hole; then six facets at 30 degrees round the end, the head's tilt proved and its
# scale's zero kept in the workshop's own profile. OUTPUT is the folder for files (default: here).
set -eu
: "${CRANKCARD:=crankcard}" "${OUTPUT:=.}"
"$CRANKCARD" heads small-tilting --print > "$OUTPUT/workshop.ini"
"$CRANKCARD" flats 6 --across 13 --stock 16 --ring '4 across 8 stock 11 at 30' --holes '2 at 0' --head "$OUTPUT/workshop.ini" \
    --output "$OUTPUT/key-card.txt"
"$CRANKCARD" flats 6 --across 13 --stock 16 --format svg --output "$OUTPUT/key-section.svg"
# What the calipers showed over three flats, all cut at one dial, and over two opposite ones: where does the bar lie?
"$CRANKCARD" flats 6 --across 13 --stock 16 --over 1=14.66 --over 5=14.71 --over flats=13.36 --no-steps --brief
# The facets: the tilt as it was read, the spindle turned half round for the second reading.
"$CRANKCARD" tilt 30 --head "$OUTPUT/workshop.ini" --measured 57.60 --turned 57.68 --scale-shows 30d05m --write "$OUTPUT/workshop.ini"
"$CRANKCARD" tilt 30 --head "$OUTPUT/workshop.ini"
cat "$OUTPUT/key-card.txt"
