# To forget a job takes its name, with or without the number at its end: nothing else that begins so is lost.
export XDG_STATE_HOME="$TMPDIR/follow-forget-part"
"$CRANKCARD" follow --ready 57 < /dev/null > "$TMPDIR/first"
for part in '' d divide divide-5 divide-57-; do
    "$CRANKCARD" follow --forget "$part"
    echo "status $?"
done
"$CRANKCARD" follow --forget divide-57
