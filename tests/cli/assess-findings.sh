"$CRANKCARD" assess examples/invented-readings.csv
