bad() { "$CRANKCARD" tilt "$@" > /dev/null; echo "status $?" ; }
bad --measured 76.6
bad 37.5 --measured x
bad 37.5 --turned 76.6
bad 37.5 --by bar
bad 37.5 --scale-shows 37
bad 37.5 --measured 76.6 --by eye
bad 37.5 --measured 101 --by bar
bad 37.5 --measured 60 --turned 101 --by sine
bad 37.5 --measured 76.6 --scale-shows 181
bad 37.5 --measured 76.6 --write own.ini
bad 95 --measured 76.6
bad 30 --measured 57.7 --head spin-fixture-36
bad 37.5 --measured 76.6 --scale-shows 37 --zero 1
bad --first 30
bad --first --bar 50
bad --first --measured 3
bad --first --format jsonl
