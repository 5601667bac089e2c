"$CRANKCARD" plates --make 127 --method nearest-hole --format jsonl --holds 30s
