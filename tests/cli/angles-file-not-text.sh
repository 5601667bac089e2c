cd "$TMPDIR" && printf "10 \\303\n" > slots.txt && "$CRANKCARD" angles --file slots.txt
