"$CRANKCARD" divide 7 --ends
