"$CRANKCARD" layout --angles 0 "37d30m keyway" 180 --diameter 50 --slot 40 --start 90 --clockwise
