"$CRANKCARD" 8 --lead 0
