# A torn last line is told of and dropped.
export XDG_STATE_HOME="$TMPDIR/follow-torn"
printf '\n\nq\n' | "$CRANKCARD" follow --ready 7 > "$TMPDIR/first"
file=$(echo "$XDG_STATE_HOME"/crankcard/*.journal)
printf '0123abcd made 2 aft' >> "$file"
printf 'b\n\n\nq\n' | "$CRANKCARD" follow --resume
