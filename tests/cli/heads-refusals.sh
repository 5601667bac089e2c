bad() { "$CRANKCARD" heads "$@" 2>&1; echo "status $?"; }
bad one two
bad small-tiltin
bad --width 5
bad nowhere.ini
