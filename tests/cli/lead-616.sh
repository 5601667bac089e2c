"$CRANKCARD" lead 6.16in --screw 1/4in --diameter 2in --length 3in --starts 6 --units in --head small-tilting-geared
