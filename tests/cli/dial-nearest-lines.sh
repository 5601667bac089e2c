"$CRANKCARD" 11 --head dividing-head-dial -m dial --to 2
