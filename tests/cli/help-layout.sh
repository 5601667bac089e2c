"$CRANKCARD" layout --help
