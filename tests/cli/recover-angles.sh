"$CRANKCARD" recover angles 0 "37d30m keyway" 20 180 --hole 3 --reading 38
