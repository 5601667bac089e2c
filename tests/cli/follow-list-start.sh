# The start of a list is no position: nobody is asked about it, and it is never open.
export XDG_STATE_HOME="$TMPDIR/follow-list-start"
printf 'g 1\n\ng 3\nl\n\nq\n' | "$CRANKCARD" follow --ready angles 0 30 75 120 | tail -n 46
"$CRANKCARD" follow --list
printf '\ng 2\n\n\n' | "$CRANKCARD" follow --resume | tail -n 12
"$CRANKCARD" follow --list
