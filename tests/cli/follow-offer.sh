# The same request again offers to go on; other keys do nothing yet.
export XDG_STATE_HOME="$TMPDIR/follow-offer"
printf '\n\nq\n' | "$CRANKCARD" follow --ready 7 > "$TMPDIR/first"
printf 'g 3\nq\n' | "$CRANKCARD" follow --ready 7
