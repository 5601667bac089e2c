"$CRANKCARD" divide 100 --number 10 --value 0,001
