"$CRANKCARD" 97 --method nearest-hole --tolerance 1m --no-steps
