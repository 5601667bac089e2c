"$CRANKCARD" angles 0 "25 wide" --repeat 3 --offset 7d30m --format tsv
