"$CRANKCARD" 7 --lead 600mm --to 1
