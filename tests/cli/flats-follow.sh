printf '\n\nq\n' | "$CRANKCARD" follow --ready flats 6 --across 17 --stock 20
"$CRANKCARD" recover flats 6 --across 17 --stock 20 --hole 16 | sed -n '1,5p'
printf '\n\nq\n' | "$CRANKCARD" follow --ready flats 5 --across 17 --stock 20 | grep STEP
