"$CRANKCARD" divide 1 --arc 90 --ends
