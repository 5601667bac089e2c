"$CRANKCARD" check 125 64/200 --head tests/cases/detent.ini; "$CRANKCARD" recover 125 --head tests/cases/detent.ini --hole 128 --reading 78d | head -n 16; "$CRANKCARD" 200000 --head dial-table-90
