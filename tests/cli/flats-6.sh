"$CRANKCARD" flats 6 --across 17 --stock 20 --cutter 8
