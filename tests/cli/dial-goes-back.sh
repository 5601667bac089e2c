"$CRANKCARD" angles 120 12d37m 240 --head dial-table-90
