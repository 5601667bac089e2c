"$CRANKCARD" 127 --working --brief --no-steps --head small-tilting-geared
