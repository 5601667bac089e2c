# 0.05 mm at 30 mm is 5'43.8"; the radius may stand before or behind.
"$CRANKCARD" methods 127 -t 0.05mm -r 30 --format csv | cut -d, -f1-6,16
"$CRANKCARD" 127 -r 1in -t 0.002in --units in --no-steps --format jsonl | tr , '\n' | grep -E 'tolerance|method'
"$CRANKCARD" check 127 15/48 -t 0.5mm -r 30
"$CRANKCARD" table 53,127 -t 0.05mm -r 30 | tail -n 2
"$CRANKCARD" 127 -t 0.05mm
"$CRANKCARD" 127 -t -0.05mm -r 30
"$CRANKCARD" 127 -t 0.05furlong -r 30
:
