"$CRANKCARD" recover 95 --hole 6 --reading 155 --step 41 --slips -f csv; echo "status $?"
