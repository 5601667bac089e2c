# Exact values of any length come whole, in rows as in records: their lengths, one a line.
n=$(printf '%0700d' 0 | tr 0 7)
"$CRANKCARD" check "$n" 7/19 --format csv | tr ',' '\n' | awk '{ print length($0) }'
# On the card too.
"$CRANKCARD" check "$n" 7/19 --block "$n" | tr -d ' \n' | wc -c
