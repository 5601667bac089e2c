"$CRANKCARD" recover 57 --hole 19
