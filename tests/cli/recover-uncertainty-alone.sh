"$CRANKCARD" recover 57 --hole 8 --uncertainty 1
