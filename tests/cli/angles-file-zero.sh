cd "$TMPDIR" && printf "10\n20\\000\n" > slots.txt && "$CRANKCARD" angles --file slots.txt
