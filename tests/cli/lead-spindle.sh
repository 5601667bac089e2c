"$CRANKCARD" lead 6 --screw 5 --geared-to spindle --starts 8 --list 1 --head small-tilting-geared
