"$CRANKCARD" plates 2-70 --format csv
