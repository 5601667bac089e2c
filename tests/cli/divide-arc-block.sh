"$CRANKCARD" 12 --block 5 --arc 90
