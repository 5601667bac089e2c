"$CRANKCARD" divide --help
