"$CRANKCARD" heads
