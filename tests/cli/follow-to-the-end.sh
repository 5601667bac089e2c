# Every step of a small job, once more for a second piece, and what --list says on the way.
export XDG_STATE_HOME="$TMPDIR/follow-end"
"$CRANKCARD" follow --list
printf '\n\n\n\n' | "$CRANKCARD" follow --ready 3 > "$TMPDIR/all" && tail -n 8 "$TMPDIR/all"
"$CRANKCARD" follow --list
printf '\n\n' | "$CRANKCARD" follow --ready divide 3
"$CRANKCARD" follow --list
