"$CRANKCARD" 127 --head small-tilting-geared --to 3
