"$CRANKCARD" chekc 57
