"$CRANKCARD" 45 --head spin-fixture-36 --to 3
