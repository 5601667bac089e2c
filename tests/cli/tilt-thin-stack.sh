for tilt in 0 1 88 90; do "$CRANKCARD" tilt $tilt | sed -n '/sine bar\|cylinder/,/  A travel/p'; done
