"$CRANKCARD" 11 --head tests/cases/detent.ini --offset=-3d --width 40 --tally
