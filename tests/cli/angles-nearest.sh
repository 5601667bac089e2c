"$CRANKCARD" angles 1/7rev 2/11rev 0.5 --format csv --radius 25
