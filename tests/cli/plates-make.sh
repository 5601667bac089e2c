"$CRANKCARD" plates --make 127 --drill 0.05 --diameter 120
