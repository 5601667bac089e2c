head=small-tilting-geared
bad() { "$CRANKCARD" gear "$@" > "$TMPDIR/card"; echo "status $?: $*"; grep -h -A2 'note  \|NONE\|NO PLAN' "$TMPDIR/card" || :; }
bad
bad 20
bad 0 --module 1
bad -3 --module 1
bad 1 --module 1
bad 5 --module 1
bad 99999999999999999999 --module 1
bad 20 --module 0
bad 20 --module x
bad 20 --module 1 --dp 8
bad 20 --module 1 --pressure-angle 25
bad 20 --module 1 --helix 90
bad 20 --module 1 --helix 0
bad 20 --module 1 --helix -10
bad 20 --module 1 --helix 60 --head $head
bad 20 --module 1 --bevel
bad 20 --module 1 --bevel --mate 20 --shaft-angle 0
bad 20 --module 1 --bevel --mate 20 --shaft-angle 180
bad 20 --module 1 --profile-shift 50
bad 20 --module 1 --span 1
bad 20 --module 1 --span 500
bad 20 --module 1 --pin 100
bad 20 --module 1 --mate 3
bad 20 --module 1 --screw 0
bad 20 --module 1 --cutters 9
bad 100000 --module 1
bad --file /
bad --file nowhere.gears
bad 20 --module 1 --format svg
