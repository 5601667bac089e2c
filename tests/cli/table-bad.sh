"$CRANKCARD" table 2-x
