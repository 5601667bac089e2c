"$CRANKCARD" tilt 60 --travel 2in --bar 6in --sine 5in --units in --width 40 --ascii
