bad() { "$CRANKCARD" tilt "$@"; echo "status $?" ; }
bad
bad abc
bad 91
bad -5
bad 30 --head spin-fixture-36
bad 30 --zero 200
bad 30 --travel 0
bad 30 --bar -5
bad 30 --format svg
bad 22 1/2
bad 30 --for end
bad 30 --cutter 70
bad --for flat
bad --for en
bad --for end --cutter 70
bad --for end --teeth 20
bad --for end --teeth 0 --cutter 70
bad --for end --teeth 4 --cutter 70
bad --for end --teeth 5 --cutter 70
bad --for end --teeth 20 --cutter 90
bad --for end --teeth 20 --cutter 70 --mate 3
bad --for taper --teeth 8 --cutter 70
bad --for taper --teeth 8 --cutter 70 --cone 95
bad --for v-clutch --teeth 3 --cutter 60
bad --for square-clutch --teeth 1
bad --for bevel --teeth 20
bad --for bevel --teeth 20 --mate 40 --shaft-angle 180
bad --for bevel --teeth 5 --mate 40 --dedendum 5
bad --for bevel --teeth 5 --mate 40 --dedendum -1
