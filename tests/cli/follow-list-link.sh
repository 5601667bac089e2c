# A journal directory that is a link is not looked into.
export XDG_STATE_HOME="$TMPDIR/follow-link"
mkdir -p "$XDG_STATE_HOME/real"
ln -s real "$XDG_STATE_HOME/crankcard"
"$CRANKCARD" follow --list 2> "$TMPDIR/err"
echo "status $?"
sed "s|$XDG_STATE_HOME|STATE|" "$TMPDIR/err"
