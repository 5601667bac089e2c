"$CRANKCARD" divide 100 --mark 5=mid --mark 5=long
