"$CRANKCARD" recover 57 --hole 8 --hole2 10 --reading 151 --format jsonl
