# A sheet speaks of its own unit alone: no line of these may hold millimetres.
for request in "tilt 30" "tilt --for v-clutch --teeth 6 --cutter 60" "lead 8 --screw 4tpi --diameter 2 --head small-tilting-geared" \
    "gear 22 --module 1 --helix 15 --screw 4tpi --head small-tilting-geared" "gear 18 --bevel --mate 36 --dp 10" \
    "layout 7 --diameter 3 --pin 0.2" "divide 57 --radius 1 --no-steps" \
    "assess examples/invented-readings.csv --radius 1 --divisions 12 --tolerance 0.01in"; do
    "$CRANKCARD" $request --units in | grep -E '[0-9] ?mm\b|millimet' && echo "in: $request"
done
"$CRANKCARD" tilt 30 --units in | grep misread
"$CRANKCARD" tilt 30 | grep misread
