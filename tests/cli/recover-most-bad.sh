"$CRANKCARD" recover 57 --hole 8 --most 0
