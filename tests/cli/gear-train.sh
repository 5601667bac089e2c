"$CRANKCARD" gear 20 24 30 127 --module 1
