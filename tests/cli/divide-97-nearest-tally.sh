"$CRANKCARD" 97 --method nearest-hole --to 12 --tally --tolerance 10m
