printf '57\00058\n' | "$CRANKCARD" table -
