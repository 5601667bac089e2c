"$CRANKCARD" 24 --head rotary-table-90 --offset -3 --to 2
