"$CRANKCARD" angles 10 20 --incremental 30 --format tsv
