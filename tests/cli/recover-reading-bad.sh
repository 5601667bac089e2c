"$CRANKCARD" recover 57 --reading x
