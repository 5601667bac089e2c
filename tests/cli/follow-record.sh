# What was made when, back-ups, remarks and pauses; times and seconds are left out here.
export XDG_STATE_HOME="$TMPDIR/follow-record"
untimed() {
    sed 's/20[0-9][0-9]-[0-9][0-9]-[0-9][0-9]/DAY/; s/[0-9][0-9]:[0-9][0-9]:[0-9][0-9]/TIME/g; s/[0-9][0-9]:[0-9][0-9]$/TIME/; s/^[0-9][0-9]:[0-9][0-9] /TIME /' |
        sed 's/"seconds":[0-9][0-9]*/"seconds":S/; s/_s":[0-9][0-9]*/_s":S/g; s/[0-9]* s in all/S in all/; s/, [0-9]* s$/, S/; s/, [0-9]* s each/, S each/; s/of [0-9]* s$/of S/; /^Pace/d'
}
printf 'a\n\n\nt\np\n\n\nb\nm chatter\ng 5\nc\n\n\ng 7\nl\n\n\nq\n' | "$CRANKCARD" follow 7 --measure-after 5 > "$TMPDIR/out"
printf '\nq\n' | "$CRANKCARD" follow --resume > "$TMPDIR/out"
"$CRANKCARD" follow --record divide-7 | untimed
"$CRANKCARD" follow --record 7 --ascii --width 40 | untimed | head -n 3
"$CRANKCARD" follow --record 7 --format jsonl | untimed
"$CRANKCARD" follow --record 7 -f tsv -o "$TMPDIR/events.tsv"
head -n 2 "$TMPDIR/events.tsv" | untimed
"$CRANKCARD" follow --record 8
echo "status $?"
