"$CRANKCARD" recover 7 -H dial-table-90 --dial 3d25m40s --rim 51
"$CRANKCARD" recover 7 -H dial-table-90 --dial "2d51m" --rim 103 --step 2 --slips
"$CRANKCARD" recover 7 -H dividing-head-dial -m dial --dial 43 --rim 103 -f jsonl
"$CRANKCARD" recover 7 -H dial-table-72 --dial 1d26m --rim 308
"$CRANKCARD" recover 7 -H dial-table-90 --dial 3d25m40s --rim 200
