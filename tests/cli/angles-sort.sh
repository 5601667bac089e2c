"$CRANKCARD" angles "40 last" "-5 first" "10 middle" --sort --format tsv
