"$CRANKCARD" divide 7 --arc 90 --ends --format tsv
