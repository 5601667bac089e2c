# Too deep on two of them: the answer is no. With stock enough left it is yes.
"$CRANKCARD" flats 4 --across 10 --stock 15 --over 1=12.62 --over 2=12.48 --over flats=10.1 | sed -n '/^Off/,/^Order/p'
"$CRANKCARD" flats 4 --across 10 --stock 15 --over 1=12.62 --over 2=12.48 --over flats=10.1 --format jsonl --no-steps | head -5
"$CRANKCARD" flats 4 --across 10 --stock 15 --over 1=12.62 --over 2=12.48 --over flats=10.1 --format svg > /dev/null; echo "status $?"
"$CRANKCARD" flats 2 --across 13 --stock 16 --over 1=14.82 --over 2=14.74 --brief --no-steps | sed -n '/^Off/,/^3/p'
"$CRANKCARD" flats 2 --across 13 --stock 16 --over 1=14.82 --over 2=14.74 > /dev/null; echo "status $?"
