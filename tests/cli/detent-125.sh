"$CRANKCARD" 125 --head tests/cases/detent.ini --to 6
