"$CRANKCARD" 57 --method indirect
