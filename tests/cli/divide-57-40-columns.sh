"$CRANKCARD" 57 --width 40
