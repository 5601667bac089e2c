"$CRANKCARD" tilt 30 --format jsonl
"$CRANKCARD" tilt --for square-clutch --teeth 5 --bore 1 --units in --format csv
"$CRANKCARD" tilt --for bevel --teeth 20 --mate 40 --format tsv
