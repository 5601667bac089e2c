# 57 by 7/19 + 5/15 with the wrong circle: the slip is named in every form.
for form in jsonl csv tsv; do "$CRANKCARD" check 57 7/18+5/15 --block 1 --format $form; done
"$CRANKCARD" check 99 2 14/21 --drivers 32,28 --driven 40,56 --format jsonl
