# The contents of a pack: what each line became, in the order of the lines.
printf '%s\n' 57 'divide 0' heads 'check 57 7/19+5/15' '7 --format card' 'gear 20 --module 1' 'table 5000000 --method direct' \
    '97 --tolerance 1s' 'angles --help' | "$CRANKCARD" batch - --format html > "$TMPDIR/pack"
echo "status $?"
grep -m 10 -e "<h1>" -e "^<li value" "$TMPDIR/pack"
