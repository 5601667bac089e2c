bad() { printf "$1" | "$CRANKCARD" assess - ; echo "status $?" ; }
bad "angle_deg\n0\n"
bad "angle_deg,indicator_mm\n0,1\n120,nan\n240,2\n"
bad "radius_mm,push_mm,pull_mm\n50,0.1,0\n50,0.1,0\n\nalong_in,height_in,side_in\n"
bad "radius_mm,push_um,pull_in\n"
bad "angle_deg,indicator_mm\n0,1\n"
bad "angle_deg,indicator_mm\n0,1\n90,1\n180,1\n"
bad "target_deg,direction,run,deviation_arcsec\n0,+,1,0\n0,+,1,1\n"
bad ""
