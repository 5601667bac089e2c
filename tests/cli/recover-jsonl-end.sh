"$CRANKCARD" recover 7 --tooth 6 --format jsonl
