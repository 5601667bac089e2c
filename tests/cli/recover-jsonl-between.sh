"$CRANKCARD" recover 7 -c 21 --hole 13 --reading 131 --format jsonl
