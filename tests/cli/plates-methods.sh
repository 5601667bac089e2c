"$CRANKCARD" plates 2-130 --method plain --method compound --most 130 --circles 2
