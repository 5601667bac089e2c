# --resume without a name when two jobs wait.
export XDG_STATE_HOME="$TMPDIR/follow-which"
echo q | "$CRANKCARD" follow --ready 7 > "$TMPDIR/first"
echo q | "$CRANKCARD" follow --ready 9 > "$TMPDIR/first"
"$CRANKCARD" follow --resume
