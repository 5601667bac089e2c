"$CRANKCARD" assess examples/invented-readings.csv --radius 28.5 --divisions 57 --tolerance 2m --width 40 --ascii
