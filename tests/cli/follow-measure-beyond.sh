export XDG_STATE_HOME="$TMPDIR/follow-refused"
"$CRANKCARD" follow 7 --measure-after 8
