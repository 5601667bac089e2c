# A line beyond the limit is an error of its own; the lines around it are answered.
{ echo '7 --no-steps'; head -c 3000000 /dev/zero | tr '\0' x; echo; echo '9 --no-steps'; } > "$TMPDIR/long"
"$CRANKCARD" batch "$TMPDIR/long" | cut -c 1-120
