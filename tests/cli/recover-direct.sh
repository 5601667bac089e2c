"$CRANKCARD" recover 12 -m direct --reading 91
