"$CRANKCARD" 127 --head dial-table-90 --brief --tally
