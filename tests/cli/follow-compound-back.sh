# A compound movement with a part that goes back, on an arc.
export XDG_STATE_HOME="$TMPDIR/follow-back"
printf '\n' | "$CRANKCARD" follow --ready 127 -m nearly-exact --ascii --width 40
