"$CRANKCARD" angles "12d37m hole 1" "77d5m20s hole 2" "140 1/7 hole 3" 233.333 "301d59m55s hole 5" --head dial-table-90 --width 40
