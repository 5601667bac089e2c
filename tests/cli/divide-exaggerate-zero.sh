"$CRANKCARD" 7 --format svg --exaggerate 0
