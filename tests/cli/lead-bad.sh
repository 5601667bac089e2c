head=small-tilting-geared
bad() { "$CRANKCARD" lead "$@"; echo "status $?" ; }
bad
bad 100
bad 100 --screw 5
bad 0 --screw 5 --head $head
bad -5 --screw 5 --head $head
bad 8 1/2in --screw 5 --head $head
bad 100 --screw 0 --head $head
bad 100 --screw 0tpi --head $head
bad 100 --screw x --head $head
bad 99999999999 --screw 5 --head $head
bad --helix 30 --screw 5 --head $head
bad --helix 90 --diameter 25 --screw 5 --head $head
bad 100 --helix 30 --diameter 25 --screw 5 --head $head
bad 100 --screw 5 --gears ,
bad 100 --screw 5 --gears 4,20
bad 100 --screw 5 --gears 20
bad 100 --screw 5 --most-gears 5 --head $head
bad 100 --screw 5 --hand up --head $head
bad 100 --screw 5 --starts 0 --head $head
bad 100 --screw 5 --starts 51 --head $head
bad 100 --screw 5 --list 0 --head $head
bad 100 --screw 5 --gears 20,30 --head spin-fixture-36
bad 100 --screw 5 --format svg --head $head
