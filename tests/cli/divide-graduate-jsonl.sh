"$CRANKCARD" divide 8 --number 2 --clockwise --format jsonl
