"$CRANKCARD" heads small-tilting --print
