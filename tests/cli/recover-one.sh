"$CRANKCARD" recover 95 --hole 5 --reading 155 --uncertainty 2 --tooth 38
