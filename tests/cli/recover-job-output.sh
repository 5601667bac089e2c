# What recover writes of a job goes to where it is called, not to where the job was begun.
export XDG_STATE_HOME="$TMPDIR/recover-output"
mkdir "$TMPDIR/there" "$TMPDIR/here"
cd "$TMPDIR/there"
echo '37.5 keyway' > slots.txt
printf '\nq\n' | "$CRANKCARD" follow --ready angles --file slots.txt > first
cd "$TMPDIR/here"
"$CRANKCARD" recover --job angles -o card.txt
cd "$TMPDIR" && ls there here
