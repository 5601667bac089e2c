"$CRANKCARD" angles 1 --format svg
