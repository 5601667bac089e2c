"$CRANKCARD" angles 22 ½
