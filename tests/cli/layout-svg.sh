"$CRANKCARD" layout 6 --diameter 60 --pin 5 --format svg
