# One division: no block but 1, however long the number.
"$CRANKCARD" 1 --block 100000000000000000000000000000000000000
