"$CRANKCARD" angles 37d "30m"
