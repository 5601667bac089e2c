"$CRANKCARD" recover 30 --head spin-fixture-36 --hole 3 --hole2 6
