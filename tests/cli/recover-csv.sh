"$CRANKCARD" recover 57 --hole 8 --reading 75 --format csv
