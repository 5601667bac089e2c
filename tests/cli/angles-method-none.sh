"$CRANKCARD" angles 10.01 --method differential
