"$CRANKCARD" recover angles 30 60 --tooth 0
