# 36 holes with ten pins and 20 with five: 360 and 100 positions, each with the name that is engraved at it.
printf '[head]\ntitle = Two rows\n[direct]\nholes = 36 20\nvernier = 10 5\nnames = DEG CENT\n' > "$TMPDIR/head.ini"
"$CRANKCARD" heads "$TMPDIR/head.ini"
"$CRANKCARD" heads "$TMPDIR/head.ini" --print | tail -n 4
"$CRANKCARD" methods 100 --head "$TMPDIR/head.ini"
"$CRANKCARD" 25 --head "$TMPDIR/head.ini" --to 3 | head -n 12
"$CRANKCARD" table 8,25,360,361 --head "$TMPDIR/head.ini" -f csv | cut -d, -f1-3,8,11
