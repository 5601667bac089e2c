"$CRANKCARD" divide 20 --mark 5=mid --mark 10=long --number 5 --value 1/4 --format csv
