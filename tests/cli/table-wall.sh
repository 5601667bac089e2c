"$CRANKCARD" table 49-52 57 127 --wall --head small-tilting-geared
"$CRANKCARD" table 97-99 --wall --gaps
"$CRANKCARD" table 7 --wall --format csv
"$CRANKCARD" table 2-3002 --wall
echo "status $?"
