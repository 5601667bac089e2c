"$CRANKCARD" 13 --head dial-table-72 --by-eye 5
