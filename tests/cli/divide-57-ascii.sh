"$CRANKCARD" 57 --ascii --to 4
