# Every head that is shipped, asked for every kind of work: an answer, a no or a refusal, and never a signal (above 127).
ask() {
    "$CRANKCARD" "$@" > "$TMPDIR/out" 2>&1
    status=$?
    [ $status -le 1 ] && [ -s "$TMPDIR/out" ] || [ "$(wc -l < "$TMPDIR/out")" -eq 1 ] && [ $status -le 2 ] || echo "$status: crankcard $*"
}
for head in data/heads/*.ini; do
    for count in 1 2 7 12 19 57 127 400; do
        for format in card csv jsonl html svg; do
            ask divide $count --head "$head" --format $format
        done
        ask divide $count --head "$head" --offset 1/7rev
        ask methods $count --head "$head" --all
        ask check $count '1 1/18' --head "$head"
        ask recover $count --hole 3 --head "$head"
        ask recover $count --dial 3d --head "$head"
        ask assess examples/invented-readings.csv --divisions $count --head "$head"
        ask plates --make $count --head "$head"
        ask angles 10 47 $count --head "$head"
        ask flats $((count % 40 + 1)) --across 17 --stock 20 --head "$head"
        for format in card csv jsonl html; do
            ask gear $((count + 11)) --module 1.25 --head "$head" --format $format
        done
        ask gear $((count + 11)) --module 1.25 --helix 15 --screw 5mm --head "$head"
        ask gear $((count + 11)) --dp 16 --bevel --mate 24 --head "$head"
    done
    ask table 2-60 --wall --head "$head"
    ask lead 100 --screw 5mm --head "$head"
    ask plates 2-40 --head "$head"
    ask tilt 30 --head "$head"
done
echo 'every head answered'
