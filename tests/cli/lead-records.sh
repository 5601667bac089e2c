"$CRANKCARD" lead 6.16in --screw 4tpi --diameter 2in --length 3in --list 2 --units in --format jsonl --head small-tilting-geared
"$CRANKCARD" lead 427.121 --screw 5 --gears 24,28,32,40,48 --starts 31 --within 10 --format csv --list 2
