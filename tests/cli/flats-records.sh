"$CRANKCARD" flats 6 --across 0.5 --stock 0.6 --units in --format jsonl
"$CRANKCARD" flats 4 --across 12 --stock 16 --holes 1 --format jsonl --no-steps
"$CRANKCARD" flats 4 --across 12 --stock 16 --format tsv
"$CRANKCARD" flats 5 --across 12 --stock 16 --format csv
