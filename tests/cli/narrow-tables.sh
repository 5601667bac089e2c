# No line of a narrow page is wider than it, and nothing is lost: rows are folded, a long cell is wrapped.
narrow() {
    width=$1; shift
    "$CRANKCARD" "$@" --width "$width" > "$TMPDIR/page" 2> "$TMPDIR/err"
    # Columns, not bytes: what goes on a character's first byte does not count.
    LC_ALL=C tr -d '\200-\277' < "$TMPDIR/page" | awk -v w="$width" 'length($0) > w { print "WIDER than " w ": " $0 }'
}
for width in 32 36 40 52; do
    narrow $width methods 127 -H small-tilting-geared
    narrow $width methods 7 -H dial-table-90
    narrow $width table 7-12,57,127,1031,99999999 -H small-tilting-geared
    narrow $width table 7,131 --pages 20
    narrow $width table 7,57,127 --wall -H small-tilting-geared
    narrow $width heads
    narrow $width plates --make 127
    narrow $width recover 95 --hole 6 --reading 155 --step 41
    narrow $width 57 --to 2
done
"$CRANKCARD" methods 127 -H small-tilting-geared --width 40
"$CRANKCARD" table 7,57,127,131,99999999 -H small-tilting-geared --width 40
"$CRANKCARD" table 7-9,127,131 -t 1s --width 40 --pages 20
"$CRANKCARD" table 7,57,127 --wall -H small-tilting-geared --width 40
"$CRANKCARD" heads --width 40
