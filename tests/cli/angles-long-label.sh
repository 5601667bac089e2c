"$CRANKCARD" angles "1 $(printf %0201d 0)"
