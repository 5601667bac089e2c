"$CRANKCARD" angles 10 --clockwise
