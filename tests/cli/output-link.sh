# A list behind a link is replaced; the link stays.
cd "$TMPDIR" && echo old > list.csv && ln -s list.csv link.csv
"$CRANKCARD" 3 --format csv --output link.csv
[ -L link.csv ] && echo "still a link"
tr -d '\r' < list.csv | cut -d, -f1-4
rm link.csv list.csv
