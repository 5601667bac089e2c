"$CRANKCARD" flats 2 --across 13 --stock 16 --width 40 --brief
