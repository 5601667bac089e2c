"$CRANKCARD" recover 57 --reading 8 --uncertainty -1
