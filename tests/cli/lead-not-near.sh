# Beyond the gears: the lead nearest to it is shown, and what the trial must show is that train's.
"$CRANKCARD" lead 2000in --screw 1/4in --list 1 --head small-tilting-geared
"$CRANKCARD" lead 100.001 --screw 5 --list 1 --within 0.0005 --head small-tilting-geared | head -4
