# A movement that never reaches every division is wrong, and gives fewer; the right setting stands last.
"$CRANKCARD" check 20 4
echo "status $?"
"$CRANKCARD" check 60 1 6/18 --format csv
echo "status $?"
"$CRANKCARD" check 6 13 6/18 --format jsonl
echo "status $?"
# What the head itself would be set to, and the gears that the setting needs.
"$CRANKCARD" check 57 22/33
"$CRANKCARD" check 127 6/18 --head small-tilting-geared
