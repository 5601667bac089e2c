"$CRANKCARD" batch nowhere.txt
