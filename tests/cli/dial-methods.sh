"$CRANKCARD" methods 127 --head dividing-head-dial --by-eye 5
