bad() { "$CRANKCARD" plates "$@"; echo "status $?" ; }
bad
bad 100-2
bad 1-5
bad 2-30000
bad 2,
bad abc
bad 2-100 --least 70
bad 2-100 --circles 61
bad 2-100 --method bogus
bad 2-100 --make 5
bad --make 1
bad --make 127 --drill 0.05
bad --make 127 --holds -1m
bad --make 127 --head spin-fixture-36
bad 2-100 --format svg
bad 2-
bad ,
bad 2-100 --want ,
bad 2-100 --want 1
bad 2-100 --want x
bad 20000001
