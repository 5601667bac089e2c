"$CRANKCARD" angles 1000rev --offset 1
