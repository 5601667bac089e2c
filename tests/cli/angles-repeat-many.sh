"$CRANKCARD" angles 1 2 3 --repeat 400000
