"$CRANKCARD" angles --help
