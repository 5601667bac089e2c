"$CRANKCARD" angles --file nowhere.txt
