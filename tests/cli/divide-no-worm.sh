"$CRANKCARD" 23 --head spin-fixture-36 --to 2
