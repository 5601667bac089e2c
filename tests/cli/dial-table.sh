"$CRANKCARD" table 2-12,127 --head dial-table-90
