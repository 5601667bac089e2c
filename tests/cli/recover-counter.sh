printf '[head]\nworm = 40\nmounted = A\nspindle = with\n[plate A]\nside 1 = 20\n' > "$TMPDIR/counter.ini"
"$CRANKCARD" recover 50 --clockwise --head "$TMPDIR/counter.ini" --hole 16 --at 1 | head -4
