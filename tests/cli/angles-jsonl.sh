"$CRANKCARD" angles 1 "2d flat" --format jsonl
