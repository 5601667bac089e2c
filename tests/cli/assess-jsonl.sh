"$CRANKCARD" assess examples/invented-readings.csv --radius 1in --divisions 127 --both-ways --tolerance 0.002in --units in --format jsonl
