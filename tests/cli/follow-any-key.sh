# A line that means nothing else confirms; one that does, does what it says.
export XDG_STATE_HOME="$TMPDIR/follow-any-key"
printf 'x\nbell\nb\nc\nq\n' | "$CRANKCARD" follow --ready 7 --any-key | grep -e '^made' -e '^back' -e '^STEP' -e '^START' -e '^place'
"$CRANKCARD" follow --list --any-key
