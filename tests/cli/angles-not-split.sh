"$CRANKCARD" angles 22d 1/2d 0 1/7rev "5d" 0d30m 10 --sort --format tsv | cut -f 3,15
