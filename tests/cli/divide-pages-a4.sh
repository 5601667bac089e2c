"$CRANKCARD" 127 --brief --pages a4 --head small-tilting-geared
