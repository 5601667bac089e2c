# 7-bit characters are how a job is shown, no part of it.
export XDG_STATE_HOME="$TMPDIR/follow-ascii"
printf '\nq\n' | "$CRANKCARD" follow --ready 7 --ascii
printf '\nq\n' | "$CRANKCARD" follow --resume --ascii
"$CRANKCARD" follow --list
