"$CRANKCARD" divide 100 --mark 5=mid --mark 10=long --number 10 --value 0.001 --to 12
