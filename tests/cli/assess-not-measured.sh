# Invented readings. Targets at whole crank turns of 40:1, and one run that is far from the other two; nothing else measured.
cat > "$TMPDIR/whole.csv" <<'END'
target_deg,direction,run,deviation_arcsec
0,+,1,0
0,+,2,1
0,+,3,1
90,+,1,3
90,+,2,3
90,+,3,113
180,+,1,2
180,+,2,1
180,+,3,2
270,+,1,0
270,+,2,2
270,+,3,1
END
cd "$TMPDIR"
"$CRANKCARD" assess whole.csv --radius 30 --divisions 12 --tolerance 10m --write nowhere.ini; echo "status $?"
"$CRANKCARD" assess whole.csv --radius 30 --divisions 12 --tolerance 10m; echo "status $?"
"$CRANKCARD" assess whole.csv --radius 30 --divisions 12 --tolerance 10m --format csv | tail -n 9
"$CRANKCARD" assess whole.csv --radius 30 --divisions 12 --tolerance 10m --format jsonl | sed 's/.*"verdict"/"verdict"/'
# On 90:1 they fall at whole and half turns, which hides it too. By a direct plate there is no worm to hide.
grep -v ',3,' whole.csv > two.csv
"$CRANKCARD" assess whole.csv --head rotary-table-90 | grep -A2 'NOT MEASURED'
"$CRANKCARD" assess two.csv --indexed direct | sed -n '/^Pos/,$p'
"$CRANKCARD" heads small-tilting --print > h.ini
"$CRANKCARD" assess two.csv --write h.ini; echo "status $?"
"$CRANKCARD" assess whole.csv --write h.ini --indexed direct > card; echo "status $?"; grep '^direct = ' h.ini
