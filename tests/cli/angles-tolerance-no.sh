"$CRANKCARD" angles 1/7rev --tolerance 1s --method nearest-hole --no-steps --format jsonl
