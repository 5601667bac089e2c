# An arc too fine for 64 bits: the worst error is that of the rows, counted one by one.
"$CRANKCARD" divide 13 --arc 12345678901234567/98765432109876543rev --method nearest-hole -c 49 -f jsonl
"$CRANKCARD" divide 13 --arc 12345678901234567890/98765432109876543211rev --method nearest-hole -c 49 -f jsonl
