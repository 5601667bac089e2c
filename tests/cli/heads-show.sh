"$CRANKCARD" heads universal-two-sided
