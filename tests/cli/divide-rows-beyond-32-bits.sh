# Numerators and denominators of the errors are beyond 32 bits.
"$CRANKCARD" divide 9999991 --head tests/bench/long-division.ini --radius 50mm -f csv --from 5000001 --to 5000002
"$CRANKCARD" divide 100 --from 5000000000
