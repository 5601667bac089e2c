"$CRANKCARD" 8 --lead 600mm -m direct
