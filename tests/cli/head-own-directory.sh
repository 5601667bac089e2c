# Your own head.ini that cannot be read is trouble, never the built-in head in silence.
mkdir -p "$TMPDIR/own/crankcard/head.ini"
cd "$TMPDIR" && XDG_CONFIG_HOME=$TMPDIR/own "$CRANKCARD" 24 2>&1 | sed "s|$TMPDIR|TMPDIR|"
rm -r "$TMPDIR/own"
