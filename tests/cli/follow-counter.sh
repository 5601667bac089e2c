export XDG_STATE_HOME="$TMPDIR/follow-counter"
printf '[head]\nworm = 40\nmounted = A\nspindle = with\n[plate A]\nside 1 = 20\n' > "$TMPDIR/counter.ini"
printf '\nq\n' | "$CRANKCARD" follow --ready 50 --clockwise --head "$TMPDIR/counter.ini" | grep COUNTER
