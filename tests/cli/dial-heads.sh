"$CRANKCARD" heads dial-table-72; "$CRANKCARD" heads dial-table-90 --print; "$CRANKCARD" heads dividing-head-dial
