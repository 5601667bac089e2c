# Nothing was left out, so nothing is there to be put back: the head itself cannot.
"$CRANKCARD" 10007 --arc 1/1000000rev
