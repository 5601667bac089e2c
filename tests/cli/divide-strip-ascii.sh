"$CRANKCARD" 97 --method nearest-hole --strip --ascii --from 1 --to 3
