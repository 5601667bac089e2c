"$CRANKCARD" batch a b
