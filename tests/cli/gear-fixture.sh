# pins of a fixture take turns: there is no one movement to print
"$CRANKCARD" gear 24 --module 2 --head spin-fixture-36
"$CRANKCARD" gear 19 --module 1.25 --head spin-fixture-36
"$CRANKCARD" gear 97 --module 1 --head small-tilting-geared
