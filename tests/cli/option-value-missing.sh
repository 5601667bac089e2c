"$CRANKCARD" 57 --format
