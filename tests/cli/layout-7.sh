"$CRANKCARD" layout 7 --diameter 80 --pin 6
