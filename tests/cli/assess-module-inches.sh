# A module is in mm also where the other lengths are in inches: ISO 1328-1:2013 class 8, d = 1524 mm, m = 1.
"$CRANKCARD" assess examples/invented-readings.csv --radius 30 --divisions 60 --class 8 --module 1 --units in | sed -n '/^allowed/,/^  (/p'
