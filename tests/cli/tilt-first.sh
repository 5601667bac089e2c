"$CRANKCARD" tilt --first
"$CRANKCARD" tilt --first --units in --width 40 | tail -4
