# Four arrangements of one train (tests/reference/helical.tsv): without a bracket two can stand, on the invented one the published one alone.
for gears in "100,32 24,48" "100,32 48,24" "32,100 24,48" "32,100 48,24"; do
    for head in small-tilting-geared examples/invented-bracket.ini; do
        "$CRANKCARD" lead 3.6in --screw 4tpi --drivers ${gears% *} --driven ${gears#* } --head $head | sed -n '/GO ON/,/^$/p; /^\[ \] 4/,/^\[ \] 5/p' | grep -v '^\[ \] 5'
        "$CRANKCARD" check 20 2 --drivers ${gears% *} --driven ${gears#* } --head $head | sed -n '/head can/,/On this/p' | grep -v 'On this'
    done
done
"$CRANKCARD" lead 3.6in --screw 4tpi --drivers 100,32 --driven 24,48 --idlers 1 --head small-tilting-geared
"$CRANKCARD" lead 3.6in --screw 4tpi --drivers 100,33 --driven 24,48 --head small-tilting-geared
"$CRANKCARD" lead 3.6in --screw 4tpi --drivers 100,32 --driven 24 --head small-tilting-geared
"$CRANKCARD" lead 3.6in --screw 4tpi --idlers 1 --head small-tilting-geared
"$CRANKCARD" lead 3.6in --screw 4tpi --drivers 32,100 --driven 24,48 --head small-tilting-geared --format jsonl; echo status $?
"$CRANKCARD" check 57 7/19+5/15 --format svg
