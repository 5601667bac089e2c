"$CRANKCARD" recover angles 10 25 70 75 130 --hole 13 --step 3 --slips --most 4; echo "status $?"
"$CRANKCARD" recover angles 10 25 70 75 130 --cuts 4 --reading 75 --slips --most 3
