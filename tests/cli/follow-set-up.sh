# The set-up item by item, one back, all of it, read again; then a trial round that does not close, and one that does.
export XDG_STATE_HOME="$TMPDIR/follow-set-up"
printf '\n\nb\na\nu\n\nu\n\n' | "$CRANKCARD" follow 4 --circle 20
printf '\n\ng 4\nc\nn\ny\nt\ng 4\nc\nn\n\ng 4\nc\n\n' | "$CRANKCARD" follow --resume | tail -n 120
"$CRANKCARD" follow --list
