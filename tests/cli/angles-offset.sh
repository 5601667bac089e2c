"$CRANKCARD" angles 10 40 --offset 3
