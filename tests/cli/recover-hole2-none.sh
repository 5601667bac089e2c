"$CRANKCARD" recover 7 --hole2 1
