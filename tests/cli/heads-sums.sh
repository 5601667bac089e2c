# Limits on the gears that mesh are part of what a head is.
for sums in "least-sum = 60" "most-sum = 130" "least-sum = 60\nmost-sum = 130"; do
    sed "s/^\[gears\]/&\n$sums/" data/heads/small-tilting-geared.ini > "$TMPDIR/limits.ini"
    "$CRANKCARD" heads "$TMPDIR/limits.ini" | grep -A 2 '^  gears'
done
