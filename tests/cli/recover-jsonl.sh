"$CRANKCARD" recover 57 --hole 8 --format jsonl
