# What a card or a refusal says of a head must fit that head.
printf '[head]\nworm = 90\n[dial]\nlines = 240\n[accuracy]\ndial = 8s\n' > "$TMPDIR/dial.ini"
printf '[head]\nworm = 40\n[plate A]\nside 1 = 20\n[gears]\nteeth = 24 24 28 32 40 44 48 56 64 72 86 100\n[bracket]\nmodule = 1.25\nreach = 5\n' > "$TMPDIR/bracket.ini"
# no dial, no direct plate: neither is written, and the file stays as it was
for by in dial direct; do
    (cd "$TMPDIR" && "$CRANKCARD" assess "$OLDPWD/examples/invented-readings.csv" --indexed $by --write bracket.ini --head ./bracket.ini 2>&1 > /dev/null); echo status $?
done
grep -c accuracy "$TMPDIR/bracket.ini"
# the tolerance is by the worm, the dial holds 8": and there is no rim to be out
"$CRANKCARD" divide 7 --head "$TMPDIR/dial.ini" | sed -n '/^  error/,/^  proof/p; /^  Dial right/p'
# its numbers' way is known, the spindle's is not
"$CRANKCARD" angles 10 5 --head data/heads/dial-table-90.ini | sed -n '/This work has a hand/,/follow/p'
# on the line itself: no part by eye in words
"$CRANKCARD" divide 7 --head data/heads/dial-table-72.ini --by-eye 4 | sed -n '/After the last/p'
# the command that is printed answers yes: 7 by minutes' sixths is off by 30/7 seconds
"$CRANKCARD" plates --make 7 --head data/heads/dial-table-90.ini | sed -n '/^Plate 1/,/--head/p'
"$CRANKCARD" divide 7 --method dial --tolerance 4.286s --head data/heads/dial-table-90.ini > /dev/null; echo status $?
"$CRANKCARD" divide 7 --method dial --tolerance 4.285s --head data/heads/dial-table-90.ini > /dev/null; echo status $?
# refused for what the head has not
for method in plain direct; do
    "$CRANKCARD" divide 7 --method $method --head data/heads/dial-table-90.ini 2>&1
done
"$CRANKCARD" divide 57 --method dial 2>&1
"$CRANKCARD" divide 57 --method differential --head "$TMPDIR/bracket.ini" 2>&1
# one circle, and the brackets of a check are not parted
"$CRANKCARD" divide 57 --head "$TMPDIR/bracket.ini" | grep -A 1 'No exact'
for width in 40 41 42 43 44 45 46 47 48 49 50; do
    "$CRANKCARD" divide 57 --head "$TMPDIR/bracket.ini" --width $width | grep -E '\($|^ *\) is'
done
echo done
