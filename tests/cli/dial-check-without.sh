"$CRANKCARD" check 250 35 lines
