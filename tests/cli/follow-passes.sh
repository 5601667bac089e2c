# Passes, one position left out of the second; a pass more; what is open is gone back to; pieces.
export XDG_STATE_HOME="$TMPDIR/follow-passes"
all='g 28\nc\n\n'
printf "\n$all\n\ng 5\nc\ng 6\nl\n${all}p\np 5\np second depth\n$all" |
    "$CRANKCARD" follow --ready 28 --pass 'roughing, 4 mm' --pass 'finishing, 4.5 mm' --pieces 2 --check-every 0 > "$TMPDIR/out"
tail -n 80 "$TMPDIR/out"
"$CRANKCARD" follow --list
printf "\np 2\n\n\n\n$all\n$all" | "$CRANKCARD" follow --resume | tail -n 60
"$CRANKCARD" follow --list
