# A list with labels: nothing is cut at the start, and a movement that goes back says how.
export XDG_STATE_HOME="$TMPDIR/follow-angles"
printf '\n\n\n' | "$CRANKCARD" follow --ready angles 0 "37d30m keyway" 20 180
