"$CRANKCARD" recover 57 --hole 8 --hole2 6 --reading 6 --step 1 --width 40
