# What must be seen at the quarters; where it is not so, the place is looked for with what is seen.
export XDG_STATE_HOME="$TMPDIR/follow-checks"
printf '\ng 14\nc\n\n\n' | "$CRANKCARD" follow --ready 28 | tail -n 34
printf '\ng 21\nc\n\nn\nx\n\n\nn\n0\n271d\n' | "$CRANKCARD" follow --resume | tail -n 75
echo "status $?"
printf '\nq\n' | "$CRANKCARD" follow --resume | tail -n 12
# Where nothing is made there is nothing to look for; a step after each second one; compound: both pins.
printf 'r\n\n\n\nn\n\n1\n\n' | "$CRANKCARD" follow --ready 57 --check-every 2 | tail -n 60
