"$CRANKCARD" divide 57 --format jsonl --to 3
