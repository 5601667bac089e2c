"$CRANKCARD" assess --help
