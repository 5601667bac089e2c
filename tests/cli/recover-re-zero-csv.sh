"$CRANKCARD" recover 57 --re-zero --format csv
