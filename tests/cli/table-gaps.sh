"$CRANKCARD" table 2-130 --gaps
