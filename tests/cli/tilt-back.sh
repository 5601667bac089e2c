"$CRANKCARD" tilt 37.5 --measured 76.60 --turned 76.64 --scale-shows 37d32m
"$CRANKCARD" tilt 60 --measured 57.9 --width 40 | sed -n '/^Where/,/^Prove/p'
"$CRANKCARD" tilt 30 --measured 49.995 --by sine | sed -n '/^Where/,/^Prove/p'
"$CRANKCARD" tilt 0 --measured -0.02 --turned 0.05 --scale-shows 0.2 | sed -n '/^Where/,/^Prove/p'
"$CRANKCARD" tilt 90 --measured 0 --by bar --bar 150 --units in | sed -n '/^Where/,/^Tilted/p'
"$CRANKCARD" tilt 83 --measured 12.3 --format jsonl
"$CRANKCARD" tilt --for v-clutch --teeth 10 --cutter 60 --measured 28.40 --scale-shows 74.1 --format jsonl
# A scale that shows too little; readings that no head set by hand would give, and one that a head might.
"$CRANKCARD" tilt 60 --measured 57 --scale-shows 59.5 | sed -n '/^  scale/,/^$/p'
"$CRANKCARD" tilt 80 --measured 2000 | sed -n '/^Where/,/^  bar/p'
"$CRANKCARD" tilt 0.5 --measured 80 --width 40 | sed -n '/^Where/,/^  bar/p'
"$CRANKCARD" tilt 30 --measured 40 | sed -n '/^Where/,/^  bar/p'
