"$CRANKCARD" tilt 26.565 --zero 0.4
