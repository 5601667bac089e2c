# Gone forward past steps that are not made: left for later, and cut after the end; then one said to be cut already.
export XDG_STATE_HOME="$TMPDIR/follow-open"
printf '\n\ng 6\n\nl\n\n\n' | "$CRANKCARD" follow --ready 7 > "$TMPDIR/first"
tail -n 30 "$TMPDIR/first"
"$CRANKCARD" follow --list
"$CRANKCARD" recover --job divide-7 --hole 35 | sed -n 1,6p
printf '\ng 2\n\nq\n' | "$CRANKCARD" follow --resume | tail -n 30
printf '\ng 5\nc\n\n' | "$CRANKCARD" follow --resume | tail -n 10
"$CRANKCARD" follow --list
sed -n 's/^[0-9a-f]* \(go to .*\) at .*/\1/p' "$XDG_STATE_HOME"/crankcard/*.journal
