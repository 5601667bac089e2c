cat > "$TMPDIR/head.ini" <<END
[head]
worm = 40
spindle = with
[plate A]
side 1 = 18
END
"$CRANKCARD" angles 1 5 --clockwise --head "$TMPDIR/head.ini" --width 60
