"$CRANKCARD" gear 24 40 --dp 10 --pressure-angle "14 1/2" --units in --cutters 15 --format csv
