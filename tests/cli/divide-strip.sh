"$CRANKCARD" 97 --method nearest-hole --strip --from 1 --to 3 --width 44
