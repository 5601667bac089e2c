"$CRANKCARD" recover 7 -H dial-table-90 --dial "3d25m v4" --rim 55 --step 1 --most 9
"$CRANKCARD" recover 7 -H dial-table-90 --dial 3d26m40s --rim 51 --step 1 --width 40
