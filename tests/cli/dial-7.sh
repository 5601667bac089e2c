"$CRANKCARD" 7 --head dial-table-90
