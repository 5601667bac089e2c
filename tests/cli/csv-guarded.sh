# What a spreadsheet would take for a number, a date or a formula has a ' in front in CSV, and only there; 15 digits have not.
"$CRANKCARD" divide 20 --number 5 --value -1/4 -f csv --to 11 | cut -d, -f3-7
"$CRANKCARD" divide 20 --number 5 --value -1/4 -f tsv --from 5 --to 5 | cut -f3-7
"$CRANKCARD" angles '0 =1+1' '10 +a' '20 -a' '30 @a' '50 a=1' '60 ,x' '70 : 7' -f csv | cut -d, -f3-6
for rev in 1/123456789012345rev 1/1234567890123456rev; do
    "$CRANKCARD" divide 7 --offset $rev -m nearest-hole -f csv --to 0 | cut -d, -f17-18
done
for n in 123456789012345 1234567890123456; do "$CRANKCARD" check $n 1/20 -f csv | cut -d, -f1-5; done
