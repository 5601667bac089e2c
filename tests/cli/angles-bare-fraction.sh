"$CRANKCARD" angles 22 1/2
