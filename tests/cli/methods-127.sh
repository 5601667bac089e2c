"$CRANKCARD" methods 127 --head small-tilting-geared
