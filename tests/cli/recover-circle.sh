# The pin was looked at, and stands in the circle beside.
"$CRANKCARD" recover 95 --hole 6 --pin-circle 18 --reading 155 --step 41
