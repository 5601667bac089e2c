"$CRANKCARD" "57 holes"
