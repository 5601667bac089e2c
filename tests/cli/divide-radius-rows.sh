# Rounded values in rows are written as in records: no trailing zeros, no negative zero, and never cut.
"$CRANKCARD" 127 --radius 1/10mm --to 4 --format csv
"$CRANKCARD" 127 --radius 1000000m --from 1 --to 1 --format csv | tail -1
