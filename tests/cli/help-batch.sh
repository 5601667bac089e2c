"$CRANKCARD" batch --help
