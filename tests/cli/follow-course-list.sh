export XDG_STATE_HOME="$TMPDIR/follow-refused"
"$CRANKCARD" follow --list --pieces 2
