"$CRANKCARD" batch --jobs 0 -
