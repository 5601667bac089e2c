"$CRANKCARD" 57 --from 99
