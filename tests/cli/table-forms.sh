# A table in every form, with rows that are exact, not exact, and not there at all.
geared=data/heads/small-tilting-geared.ini
for form in card csv tsv jsonl; do
    "$CRANKCARD" table 97 127 9999999 -H $geared -f $form
    echo "status $?"
done
"$CRANKCARD" table 97 --tolerance 1s --method nearest-hole
echo "status $?"
