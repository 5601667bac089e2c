"$CRANKCARD" angles --sort
