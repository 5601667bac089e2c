# Nobody cuts teeth against plunger and clamp: 24 teeth stay on the worm, though the direct plate has 24 holes.
"$CRANKCARD" gear 24 --module 2 | grep "set up"
