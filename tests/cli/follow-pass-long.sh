export XDG_STATE_HOME="$TMPDIR/follow-refused"
long=$(printf '%0201d' 0)
"$CRANKCARD" follow 7 --pass "$long"
set --
while [ $# -lt 42 ]; do set -- "$@" --pass x; done
"$CRANKCARD" follow 7 "$@"
