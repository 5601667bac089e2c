"$CRANKCARD" assess examples/bench-readings.csv --format svg
