# Every kind of teeth: what the angles are measured from and how the cut is set.
teeth() { echo "-- $1"; "$CRANKCARD" tilt --for "$@" | sed '/^Set up/,$d'; }
teeth end --teeth 20 --cutter 70
teeth side --teeth 20 --cutter 70
teeth taper --teeth 8 --cutter 80 --cone 5
teeth square-clutch --teeth 5 --bore 20
teeth saw-clutch --teeth 10 --cutter 60
teeth v-clutch --teeth 10 --cutter 60
teeth bevel --teeth 20 --mate 40
teeth bevel --teeth 20 --mate 40 --dedendum 1.157
