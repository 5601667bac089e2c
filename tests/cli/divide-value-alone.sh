"$CRANKCARD" divide 100 --value 0.001
