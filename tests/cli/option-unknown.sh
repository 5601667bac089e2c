"$CRANKCARD" 57 --formt csv
