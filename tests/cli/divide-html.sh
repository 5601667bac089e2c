"$CRANKCARD" 4 --brief --format html
