"$CRANKCARD" flats 6 --across 17 --stock 20 --cutter 8
# A least size is rounded up, and what shows as nothing is said to be none.
"$CRANKCARD" flats 6 --across 10 --stock 11.547 --brief --no-steps | grep -A 1 '^  corners'
"$CRANKCARD" flats 6 --across 10 --stock 11.548 --brief --no-steps | grep -A 1 '^  corners'
for cutter in 10.583 10.584; do
    "$CRANKCARD" flats 4 --across 12 --stock 16 --cutter "$cutter" --brief --no-steps | sed -n '/^  cutter/p; /^ *10.58/,/^  head/p'
done
"$CRANKCARD" flats 4 --cutter 10.583mm --stock 16mm --across 12mm --units in --brief --no-steps | sed -n '/^  cutter/p; /^ *0.4167/,/^  head/p'
