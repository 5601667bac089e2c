"$CRANKCARD" heads dial-table-90 --prove; "$CRANKCARD" heads dial-table-72 --prove | sed -n "/Dial/,/Axis/p"
