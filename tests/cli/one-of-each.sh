# What there is one of is not said in the plural.
head=$TMPDIR/one.ini
cat > "$head" <<'END'
[head]
title = One of each
worm = 1
mounted = A
[direct]
holes = 2
[plate A]
side 1 = 7
[gears]
teeth = 24
END
"$CRANKCARD" 5 --arc 9 --brief --to 1
"$CRANKCARD" 7 -H "$head" --working --from 7
"$CRANKCARD" heads "$head"
"$CRANKCARD" heads "$head" --prove | grep -E 'exactly|Plate A|Half a turn'
"$CRANKCARD" check 1 40
"$CRANKCARD" check 2 40
"$CRANKCARD" table 1 --wall
"$CRANKCARD" plates 7,11 -H "$head"
"$CRANKCARD" plates 7-9
"$CRANKCARD" plates 7
"$CRANKCARD" lead 600 --screw 5 --starts 39 -H small-tilting-geared
"$CRANKCARD" lead 100 --screw 5 --gears 24 2>&1
"$CRANKCARD" flats 1 --stock 20 --depth 1 --over 2=15 2>&1
export XDG_STATE_HOME="$TMPDIR/state"
printf '\nq\n' | "$CRANKCARD" follow 1 > /dev/null
"$CRANKCARD" follow --list
