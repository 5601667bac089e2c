"$CRANKCARD" angles 1001rev
