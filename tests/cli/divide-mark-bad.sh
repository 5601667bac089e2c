"$CRANKCARD" divide 100 --mark 5:mid
