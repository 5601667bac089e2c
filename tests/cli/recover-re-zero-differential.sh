"$CRANKCARD" recover 127 --head small-tilting-geared -m differential --re-zero --ascii --width 40
