"$CRANKCARD" 7 --strip --to 2
