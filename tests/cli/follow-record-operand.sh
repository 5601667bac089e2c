export XDG_STATE_HOME="$TMPDIR/follow-refused"
"$CRANKCARD" follow --record 7 8
