"$CRANKCARD" angles 15 45 --counter --no-steps
