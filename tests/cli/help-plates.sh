"$CRANKCARD" plates --help
