"$CRANKCARD" layout 5 --diameter 3in --units in --corner --format csv
