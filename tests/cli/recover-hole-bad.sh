"$CRANKCARD" recover 57 --hole x
