"$CRANKCARD" 7 --head dial-table-90 --lead 300
