"$CRANKCARD" heads --print --prove
