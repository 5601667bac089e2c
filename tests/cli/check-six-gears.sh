"$CRANKCARD" check 57 1 --drivers 24,28,32 --driven 48,56,64 --head data/heads/small-tilting-geared.ini
"$CRANKCARD" check 57 1 --drivers 24,28,32 --driven 48,56,64 --idlers 3 --head data/heads/small-tilting-geared.ini
