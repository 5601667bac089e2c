# geared to the table: the clamp stays off, whatever is to be found again
"$CRANKCARD" recover 7 --lead 600mm --hole 35
"$CRANKCARD" recover 97 --lead 600mm --re-zero
