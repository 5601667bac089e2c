# -a and -m in one word.
"$CRANKCARD" methods 8 -am plain --format csv
