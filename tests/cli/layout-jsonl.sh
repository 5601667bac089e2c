"$CRANKCARD" layout 3 --diameter 50 --format jsonl
