"$CRANKCARD" 7 --radius 1in --units in
