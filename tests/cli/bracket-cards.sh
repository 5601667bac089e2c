# Gears on a bracket that is known: on the card, set aside in a proof, in inches, and where nothing goes on at all.
head=examples/invented-bracket.ini
"$CRANKCARD" divide 383 --head $head | sed -n '/^  gears/,/^  arms/p; /^ 4/,/^ 6/p'
"$CRANKCARD" divide 383 --head $head --width 40 | sed -n '/handwheel/,/format svg/p'
"$CRANKCARD" divide 787 --head $head | sed -n '/No exact/,/planes/p'
"$CRANKCARD" methods 51 --head $head --format csv
"$CRANKCARD" table 51 --units in --head $head --format tsv
"$CRANKCARD" lead 20in --screw 4tpi --hand left --units in --head $head --format jsonl --list 1
"$CRANKCARD" lead 20in --screw 4tpi --hand left --units in --head $head --list 2 | sed -n '1,/^\[ \] 5/p'
for change in 's/^centres.*/centres = 400/' 's/^reach.*/reach = 10 12/' 's/^collar.*//' 's/^module.*//'; do
    echo "$change"
    sed "$change" $head > "$TMPDIR/changed.ini"
    "$CRANKCARD" divide 127 --head "$TMPDIR/changed.ini" | sed -n '/No exact/,/room/p; /Fit/,/svg/p'
    "$CRANKCARD" divide 127 --head "$TMPDIR/changed.ini" --method differential > "$TMPDIR/card"; echo status $?
    "$CRANKCARD" lead 3.6in --screw 4tpi --head "$TMPDIR/changed.ini" --list 1 | grep -E -A 1 'drives|Fit|They|not known'
done
