# The head is not what it was: refused, with the difference, and the journal stays.
export XDG_STATE_HOME="$TMPDIR/follow-head"
head="$TMPDIR/shop-head.ini"
"$CRANKCARD" heads small-tilting --print > "$head"
export CRANKCARD_HEAD="$head"
printf '\n\nq\n' | "$CRANKCARD" follow --ready 7 > "$TMPDIR/first"
sed 's/41 43 47 49/41 43 47/' "$head" > "$head.new" && mv "$head.new" "$head"
printf '\n' | "$CRANKCARD" follow --ready 7
echo "status $?"
"$CRANKCARD" follow --list
