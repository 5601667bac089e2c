"$CRANKCARD" batch tests
