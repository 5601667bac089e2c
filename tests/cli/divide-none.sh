"$CRANKCARD" divide
