bad() { "$CRANKCARD" layout "$@"; echo "status $?" ; }
bad
bad 7
bad 0 -d 50
bad -5 -d 50
bad 7 8 -d 50
bad 7 -d 0
bad 7 -d 50furlong
bad 7 -d 50 --resolution 100
bad 7 -d 50 --centre 3
bad 7 -d 50 --centre 3,4 --corner
bad 7 -d 50 --slot 0
bad --angles x -d 50
bad 7 -d 50 --slot 50
bad 7 -d 50 --pin 0
