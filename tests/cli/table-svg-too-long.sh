"$CRANKCARD" table 2-4000 --format svg
