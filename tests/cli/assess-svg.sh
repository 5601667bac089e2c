"$CRANKCARD" assess examples/invented-readings.csv --format svg
