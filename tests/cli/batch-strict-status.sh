printf 'divide x\ndivide 4\n' | "$CRANKCARD" batch --strict - --output "$TMPDIR/out"
echo $?
cat "$TMPDIR/out"
