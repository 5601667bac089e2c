"$CRANKCARD" 57 --width 10
