"$CRANKCARD" heads small-tilting --prove
