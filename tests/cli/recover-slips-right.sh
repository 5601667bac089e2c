"$CRANKCARD" recover 127 -m nearest-hole --hole 17 --step 90 --right 60 --cuts 91 --slips
