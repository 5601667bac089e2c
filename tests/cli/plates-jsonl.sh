"$CRANKCARD" plates 2-130 --most 130 --want 127 --circles 3 --format jsonl
