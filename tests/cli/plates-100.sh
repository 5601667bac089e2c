"$CRANKCARD" plates 2-100
