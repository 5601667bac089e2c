: | "$CRANKCARD" batch - && : | "$CRANKCARD" batch -j 3 -
