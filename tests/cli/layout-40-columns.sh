"$CRANKCARD" layout 5 --diameter 60 --corner --width 40 --ascii
