"$CRANKCARD" check 106 1 7/39+29/41 --format jsonl
