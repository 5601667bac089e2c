"$CRANKCARD" angles 37.5 keyway
