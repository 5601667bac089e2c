# the play of the change gears comes on top of the worm's: two turns back
"$CRANKCARD" recover 97 --head small-tilting-geared --hole 8 --reading 3.7
