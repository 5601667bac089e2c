"$CRANKCARD" 127 --to 2 --width 32 --radius 50 --ascii
