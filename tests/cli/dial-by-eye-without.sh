"$CRANKCARD" 7 --by-eye 5
