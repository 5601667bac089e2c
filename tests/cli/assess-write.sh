cp data/heads/small-tilting.ini "$TMPDIR/h.ini"
cd "$TMPDIR" && "$CRANKCARD" assess "$OLDPWD/examples/invented-readings.csv" --write h.ini --format tsv --output card.tsv &&
diff "$OLDPWD/data/heads/small-tilting.ini" h.ini
