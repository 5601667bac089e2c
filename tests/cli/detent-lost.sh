# The place of a pin with a detent: what is asked for, and a number that no hole and detent have.
export XDG_STATE_HOME="$TMPDIR/detent-lost"
head=$PWD/tests/cases/detent.ini
"$CRANKCARD" recover 125 -H "$head" --hole 300 2>&1
printf 'g 2\nc\nr\n64\n\n\n' | "$CRANKCARD" follow --ready 125 -H "$head" | sed -n '/^Pin.s hole/p; /^  Seen/p'
