"$CRANKCARD" 127 --pages a6
