"$CRANKCARD" 127 --method nearest-hole --circle 18 --to 4
