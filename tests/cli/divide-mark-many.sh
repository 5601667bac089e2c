"$CRANKCARD" divide 100 --mark 1=a --mark 2=b --mark 3=c --mark 4=d --mark 5=e --mark 6=f --mark 7=g --mark 8=h --mark 9=i
