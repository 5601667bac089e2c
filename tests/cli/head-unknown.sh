"$CRANKCARD" 57 --head smal-tilting
