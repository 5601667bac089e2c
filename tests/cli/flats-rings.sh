"$CRANKCARD" flats 2 --across 13 --stock 16 --ring '6 across 10 stock 12 at 22 1/2' --holes '3 at 30' --pages 60
