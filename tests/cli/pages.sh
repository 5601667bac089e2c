"$CRANKCARD" 57 --pages 40 | tr "\f" "~"
