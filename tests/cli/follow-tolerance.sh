# A job that is not within the default tolerance says so at the start.
export XDG_STATE_HOME="$TMPDIR/follow-tolerance"
echo q | "$CRANKCARD" follow --ready 127 -m nearest-hole
