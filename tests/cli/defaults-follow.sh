# The user's units go before what was typed of the request, and never to what stands in place of one.
mkdir -p "$TMPDIR/own/crankcard"
echo 'units = in' > "$TMPDIR/own/crankcard/defaults.ini"
export XDG_CONFIG_HOME="$TMPDIR/own" XDG_STATE_HOME="$TMPDIR/state"
for request in '9' 'angles 0 30 75' 'flats 6 --across 1 --stock 1.25'; do
    "$CRANKCARD" recover $request --hole 0 | sed -n '/fit/p'
    echo q | "$CRANKCARD" follow $request | head -n 1
done
"$CRANKCARD" follow --list | grep '^  '
echo q | "$CRANKCARD" follow --resume divide-units-in-9 | head -n 1
"$CRANKCARD" follow --record divide-units-in-9 | head -n 2
"$CRANKCARD" recover --job divide-units-in-9 --hole 0 | sed -n '/fit/p'
"$CRANKCARD" flats 6 --across 1 --stock 1.25 --width 100 | grep 'crankcard follow'
"$CRANKCARD" follow --forget divide-units-in-9
