"$CRANKCARD" assess examples/invented-readings.csv --head built-in --radius 28.5 --divisions 57 --class 9 --module 1
