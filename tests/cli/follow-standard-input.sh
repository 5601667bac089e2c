export XDG_STATE_HOME="$TMPDIR/follow-refused"
"$CRANKCARD" follow --ready 57 -
