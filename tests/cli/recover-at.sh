"$CRANKCARD" recover 57 --hole 8 --at 31
