: | "$CRANKCARD" batch -
