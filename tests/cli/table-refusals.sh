bad() { "$CRANKCARD" table "$@" 2>&1; echo "status $?"; }
bad
bad 9-2
bad 0
bad 2-
bad 1000000000000001
bad 2-4 --head nowhere.ini
bad --gaps=x 2
echo "2-4 # so far
five" | "$CRANKCARD" table - 2>&1
