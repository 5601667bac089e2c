"$CRANKCARD" gear 10 --module 1
