"$CRANKCARD" recover 95 --hole 5 --reading 215 --scale-zero 10 --scale-falls
