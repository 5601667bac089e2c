"$CRANKCARD" divide 53 --head universal-two-sided --no-steps
