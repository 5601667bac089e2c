"$CRANKCARD" 250 --head dividing-head-dial --counter --offset 1d --to 2
