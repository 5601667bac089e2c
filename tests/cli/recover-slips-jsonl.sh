"$CRANKCARD" recover 95 --hole 5 --reading 155 --slips --most 4 -f jsonl
"$CRANKCARD" recover 57 --hole 8 --hole2 6 --reading 6 --slips -f jsonl; echo "status $?"
