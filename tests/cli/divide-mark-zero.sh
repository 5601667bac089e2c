"$CRANKCARD" divide 100 --mark 0=mid
