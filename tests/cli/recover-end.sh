"$CRANKCARD" recover 7 --tooth 6 --at 7
