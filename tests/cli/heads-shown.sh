for head in spin-fixture-36 small-tilting-geared universal-two-sided rotary-table-90; do
    "$CRANKCARD" heads data/heads/$head.ini && "$CRANKCARD" heads data/heads/$head.ini --prove
done
