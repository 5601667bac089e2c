"$CRANKCARD" 12 --block 4
