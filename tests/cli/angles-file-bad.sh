cd "$TMPDIR" && printf "10\n\n12x slot\n" > slots.txt && "$CRANKCARD" angles --file slots.txt
