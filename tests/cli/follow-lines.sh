# Confirm, back, go to, note, a key that does nothing, leave.
export XDG_STATE_HOME="$TMPDIR/follow-lines"
printf '\n\nb\ng 5\nc\nx\nm burr, see after\ng 8\ng\nm\nq\n' | "$CRANKCARD" follow --ready 7
