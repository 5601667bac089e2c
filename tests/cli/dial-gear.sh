"$CRANKCARD" gear 24 127 --module 2 --head dial-table-90
