"$CRANKCARD" 11 --head dial-table-90 --width 40
