# A job that names files is resumed from any directory.
export XDG_STATE_HOME="$TMPDIR/follow-elsewhere"
mkdir "$TMPDIR/shop"
cd "$TMPDIR/shop"
echo '37.5 keyway' > slots.txt
"$CRANKCARD" heads small-tilting --print > my-head.ini
printf '\nq\n' | "$CRANKCARD" follow --ready angles --file slots.txt --head my-head.ini | tail -n 1
cd /
printf '\nq\n' | "$CRANKCARD" follow --resume angles | grep -A 1 '^STEP'
"$CRANKCARD" recover --job angles | sed -n 2p
# Without the directory what is missing is said.
rm -r "$TMPDIR/shop"
"$CRANKCARD" follow --resume angles
echo "status $?"
