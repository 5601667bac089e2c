"$CRANKCARD" methods 360 -H data/heads/spin-fixture-36.ini
"$CRANKCARD" methods 97 -f csv
"$CRANKCARD" methods 97 -f jsonl
"$CRANKCARD" methods 9973 -H data/heads/small-tilting-geared.ini
"$CRANKCARD" methods 57 -f svg
