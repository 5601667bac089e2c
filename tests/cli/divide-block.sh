"$CRANKCARD" 7 --block 3
