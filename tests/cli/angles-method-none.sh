"$CRANKCARD" angles 1/7rev --method plain
