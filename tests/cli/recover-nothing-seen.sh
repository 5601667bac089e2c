"$CRANKCARD" recover 57
