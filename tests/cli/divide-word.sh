"$CRANKCARD" divide abc
