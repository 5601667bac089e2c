# The file of angles has changed since: another plan, refused with the difference.
export XDG_STATE_HOME="$TMPDIR/follow-changed"
printf '30\n60\n' > "$TMPDIR/list"
cd "$TMPDIR" || exit
printf '\n\n' | "$CRANKCARD" follow --ready angles --file list > first
printf '30\n60\n90\n' > list
"$CRANKCARD" follow --resume | sed 's/[0-9a-f]\{16\}/DIGEST/'
