# What check does not take, each with its status.
bad() { "$CRANKCARD" check "$@" 2>&1; echo "status $?"; }
bad
bad 57
bad x 1/19
bad 57 1/0
bad 57 1/2/3
bad 57 10/39-109
bad 57 7/19+5/15 --format svg
bad 57 7/19+5/15 --block 0
bad 99 2 14/21 --drivers 40 --driven 25,26
bad 99 2 14/21 --drivers x --driven 25
bad 99 2 14/21 --drivers 21,22,23,24 --driven 25
bad 7 "12 turns 3d25m40s v4" --head dial-table-90
bad 7 "-12 turns 3d" --head dial-table-90
