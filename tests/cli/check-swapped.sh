"$CRANKCARD" check 99 8/20 --drivers 32,40 --driven 28,56 --head small-tilting-geared
