"$CRANKCARD" assess examples/bench-readings.csv
