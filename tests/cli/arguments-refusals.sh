# How options are misspelt.
bad() { "$CRANKCARD" "$@" 2>&1; echo "status $?"; }
bad 57 --nothing
bad 57 --formatt csv
bad 57 --ascii=yes
bad 57 -Q
bad 57 -f
bad 57 --format
bad 57 --width x
bad 57 --width 31
bad 57 --pages 1
bad 57 --units furlong
bad 57 --format pdf
bad -w40 57 58
