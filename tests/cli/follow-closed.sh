# Standard streams that are closed: what is printed there does not go into the journal.
export XDG_STATE_HOME="$TMPDIR/follow-closed"
"$CRANKCARD" follow --ready 7 <&- >&- 2>&-
echo "status $?"
"$CRANKCARD" follow --list
