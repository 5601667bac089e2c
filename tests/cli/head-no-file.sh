"$CRANKCARD" 57 --head ./nothing.ini
