"$CRANKCARD" 57 --radius 0
