"$CRANKCARD" plates --make 60 --format tsv
