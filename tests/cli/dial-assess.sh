# What was measured of positions set by the dial goes into the profile as the dial's, and plans by it go by that.
cd "$TMPDIR" && "$CRANKCARD" heads dial-table-90 --print > h.ini
"$CRANKCARD" assess "$OLDPWD/examples/invented-readings.csv" --head h.ini --indexed dial --write h.ini | tail -n 1
grep '^dial = ' h.ini
"$CRANKCARD" 7 --head h.ini --format jsonl --no-steps | grep -o '"head_holds_arcsec":[^,]*'
"$CRANKCARD" 7 --head h.ini --no-steps --tolerance 15s | head -n 4
rm h.ini
