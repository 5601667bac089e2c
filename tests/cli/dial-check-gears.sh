"$CRANKCARD" check 99 2 turns 3d --drivers 32,40 --driven 28,56 --head small-tilting-geared
