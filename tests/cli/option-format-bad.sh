"$CRANKCARD" 57 --format xml
