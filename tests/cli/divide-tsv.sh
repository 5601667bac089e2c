"$CRANKCARD" 6 --format tsv --radius 25mm
