"$CRANKCARD" batch
