# Without --idlers the plate turns with the crank, on a head built the other way too: as many as give 40/49 forward.
sed "s/^\[gears\]/&\nreversed = yes/" data/heads/small-tilting-geared.ini > "$TMPDIR/reversed.ini"
"$CRANKCARD" check 99 8/20 --drivers 32,28 --driven 40,56 --head "$TMPDIR/reversed.ini"
"$CRANKCARD" check 99 8/20 --drivers 40 --driven 100 --head "$TMPDIR/reversed.ini"
