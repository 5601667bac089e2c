"$CRANKCARD" 30 --arc 90 --offset 3d --decimal
