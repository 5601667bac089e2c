# The form of cards, for the eye that reads the diff: the line of the first box to tick, in the long form and in the brief one,
# all lines, and pages of A4 of 127 divisions.
geared=data/heads/small-tilting-geared.ini
card() {
    name=$1; shift
    printf '%-22s' "$name"
    for width in 40 60 72 100; do
        for form in "" --brief; do
            "$CRANKCARD" "$@" --width $width $form > "$TMPDIR/card"
            printf '%4d' "$(grep -n '^\[ \]' "$TMPDIR/card" | head -1 | cut -d: -f1)"
        done
        printf '%5d' "$(wc -l < "$TMPDIR/card")"
    done
    echo
}
echo 'first box long, brief, lines of the brief form, at 40, 60, 72 and 100 columns'
card 2 2
card 6 6
card 28 28
card 57 57
card '100 graduated' 100 --mark 5=mid --mark 10=long
card 127 127
card '127 by gears' 127 --head "$geared"
printf '%s\n' '0 key' '11 a' '47 b' '85 c' '121 d' '144 e' '181 f' '200 g' '240 h' '255 i' '301 j' '344 k' > "$TMPDIR/twelve.angles"
card 'twelve with labels' angles --file "$TMPDIR/twelve.angles"
card '7 by a dial' 7 --head data/heads/dial-table-90.ini
for paper in a4 a5 letter; do
    printf 'pages of 127 by gears on %s: ' $paper
    "$CRANKCARD" 127 --head "$geared" --pages $paper --brief | grep -ao 'page [0-9]* of [0-9]*' | tail -1
done
