"$CRANKCARD" divide 100 --number ten
