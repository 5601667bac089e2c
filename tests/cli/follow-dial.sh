# By the dial: whole turns, then on to a reading; the rim shows that no turn is lost. One whose rim's numbers fall.
export XDG_STATE_HOME="$TMPDIR/follow-dial"
printf '\n\n\nr\n0d37m v5\n12.6\n\n' | "$CRANKCARD" follow --ready 57 --head dial-table-90 | sed '/^To set zero/,$d'
printf '\nb\nq\n' | "$CRANKCARD" follow --resume | sed -n '1,22p'
printf '\n\n\n\n\nq\n' | "$CRANKCARD" follow --ready angles 30 75.5 20 --head dial-table-72
printf '\nb\nr\n0d30m\n284d30m\n\n' | "$CRANKCARD" follow --resume angles | sed -n '/^crankcard recover/,/^On from/p'
printf '\n\nq\n' | "$CRANKCARD" follow --ready 33 -m dial --head dividing-head-dial --by-eye 4 --ascii --width 40
printf 'q\n' | "$CRANKCARD" follow 12 --head dial-table-90
