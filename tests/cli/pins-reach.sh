# A second pin at one radius, a short arm of the crank: 57 is 7/19+6/18 where both reach, the other way round, or not at all.
head() { printf '[head]\nworm = 40\nmounted = A 1\nplate_pin = same\n%s[plate A]\nside 1 = 15 16 17 18 19 20\n' "$1" > "$TMPDIR/head.ini"; }
head ''; "$CRANKCARD" methods 57 --head "$TMPDIR/head.ini" -f csv | sed -n 2p
head 'plate_pin_circles = 15 20
'; "$CRANKCARD" methods 57 --head "$TMPDIR/head.ini" -f csv | sed -n 2p
head 'plate_pin_circles = 19
'; "$CRANKCARD" methods 57 --head "$TMPDIR/head.ini" -f csv | sed -n 2p
head 'crank_pin_circles = 15 16 17 18
'; "$CRANKCARD" methods 57 --head "$TMPDIR/head.ini" -f csv | sed -n 2p
"$CRANKCARD" check 20 2/20 --head "$TMPDIR/head.ini"; "$CRANKCARD" heads "$TMPDIR/head.ini"
"$CRANKCARD" heads "$TMPDIR/head.ini" --print | grep pin_circles
