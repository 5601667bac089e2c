"$CRANKCARD" angles 1 --repeat 0
