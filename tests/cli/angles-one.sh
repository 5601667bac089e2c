"$CRANKCARD" angles 37d30m
