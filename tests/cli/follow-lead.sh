export XDG_STATE_HOME="$TMPDIR/follow-lead"
printf '\n\nq\n' | "$CRANKCARD" follow --ready 7 --lead 600mm
