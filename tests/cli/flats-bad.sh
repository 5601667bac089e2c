bad() { "$CRANKCARD" flats "$@" > /dev/null; echo "status $?" ; }
bad
bad 6
bad six --across 17 --stock 20
bad 0 --across 17 --stock 20
bad 361 --across 17 --stock 20
bad 6 4 --across 17 --stock 20
bad 6 --across 17
bad 2 --across 17
bad 6 --stock 20
bad 6 --across 17 --depth 1 --stock 20
bad 1 --depth 3 --stock 6
bad 6 --across -17 --stock 20
bad 6 --across 20 --stock 17
bad 2 --across 17 --stock 17
bad 6 --across 17 --stock 20 --ring foo
bad 6 --across 17 --stock 20 --ring '4 at 30'
bad 6 --across 17 --stock 20 --ring '4 across 12 across 13'
bad 6 --across 17 --stock 20 --ring '4 across'
bad 6 --across 17 --stock 20 --ring '4 across 12 stock 10'
bad 6 --across 17 --stock 20 --ring 'x across 12'
bad 6 --across 17 --stock 20 --ring '4 across twelve'
bad 6 --across 17 --stock 20 --holes '3 across 4'
bad 6 --across 17 --stock 20 --holes '3 at noon'
bad 6 --across 17 --stock 20 --over 1
bad 6 --across 17 --stock 20 --over 9=18
bad 6 --across 17 --stock 20 --over 1=-18
bad 6 --across 17 --stock 20 --over 1=x
bad 7 --across 17 --stock 20 --over flats=18
bad 6 --across 17 --stock 20 --over 1=18
bad 6 --across 17 --stock 20 --over 1=18 --over 4=18
bad 6 --across 17 --stock 20 --lead 300
# No caliper shows more than the stock; as much as that it can.
bad 6 --across 17 --stock 20 --over 1=30 --over 2=31 --over 3=32
bad 6 --across 17 --stock 20 --over flats=25 --over 1=18 --over 2=18
bad 6 --across 17 --stock 20 --over 1=20 --over 2=20 --over 3=20
