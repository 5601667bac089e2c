bad() { "$CRANKCARD" assess "$@" 2>&1; echo "status $?"; }
readings=examples/invented-readings.csv
bad
bad $readings two
bad $readings --standard none
bad $readings --indexed by-hand
bad $readings --radius 0 --divisions 57
bad $readings --radius 2000m --divisions 57
bad $readings --radius 20 --divisions 57 --tolerance 1s --class 9
bad $readings --radius 20 --divisions 57 --tolerance 0s
bad $readings --write -
printf 'angle_deg,indicator_mm\n0,0\n120,0.01\n240,0.02\n' > "$TMPDIR/runout.csv"
cp data/heads/small-tilting.ini "$TMPDIR/head.ini"
cd "$TMPDIR" && bad runout.csv --write head.ini
