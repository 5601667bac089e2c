"$CRANKCARD" 57 --tolerance 1,5
