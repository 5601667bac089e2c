"$CRANKCARD" plates 2-130 --most 130 --want 127,125,100 --width 40
