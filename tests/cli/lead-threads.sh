# A bare number of inches to the thread: threads to the inch are meant.
"$CRANKCARD" lead 8 --screw 4 --units in --head small-tilting-geared
echo "status $?"
"$CRANKCARD" lead 8 --screw 4tpi --units in --list 1 --head small-tilting-geared | head -2
# Beyond a hundredth of the lead the answer is no, whoever asks.
"$CRANKCARD" lead 2000in --screw 1/4in --list 1 --format tsv --head small-tilting-geared > /dev/null
echo "status $?"
"$CRANKCARD" lead 2000in --screw 1/4in --list 1 --format tsv --within 2000in --head small-tilting-geared > /dev/null
echo "status $?"
