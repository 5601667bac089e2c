# The worse side decides: from + this head is true, from - it is minutes off.
cat > "$TMPDIR/sides.csv" <<'END'
# invented readings
target_deg,direction,run,deviation_arcsec
0,+,1,0
0,+,2,1
90,+,1,3
90,+,2,3
180,+,1,2
180,+,2,1
270,+,1,0
270,+,2,2
0,-,1,0
0,-,2,1
90,-,1,-113
90,-,2,-114
180,-,1,2
180,-,2,1
270,-,1,113
270,-,2,113
END
"$CRANKCARD" assess "$TMPDIR/sides.csv" --radius 30 --divisions 12 --tolerance 4m | sed -n '/^Errors/,$p'
"$CRANKCARD" assess "$TMPDIR/sides.csv" --radius 30 --divisions 12 --tolerance 4m --both-ways | sed -n '/^Errors/,$p'
grep -v ",-," "$TMPDIR/sides.csv" | "$CRANKCARD" assess - --radius 30 --divisions 12 --both-ways
