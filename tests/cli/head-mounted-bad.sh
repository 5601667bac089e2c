"$CRANKCARD" 57 --mounted Z
