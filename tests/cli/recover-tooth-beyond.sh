"$CRANKCARD" recover 12 --tooth 12
