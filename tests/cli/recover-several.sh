"$CRANKCARD" recover 57 --hole 8
