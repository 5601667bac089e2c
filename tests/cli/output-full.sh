"$CRANKCARD" 57 > /dev/full
