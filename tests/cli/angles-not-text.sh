"$CRANKCARD" angles "$(printf "12 \\377")"
