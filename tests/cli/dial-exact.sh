"$CRANKCARD" 25 --head dial-table-90 --working --from 0 --to 3
