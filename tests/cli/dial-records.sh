"$CRANKCARD" 7 --head dial-table-72 --format jsonl --to 2; "$CRANKCARD" 7 --head dial-table-90 --format csv --to 2
