# A dial without a vernier: what is read by eye as a card writes it, and a v that there is not.
"$CRANKCARD" recover 13 -H dial-table-72 --by-eye 5 --dial "2d40m +4/5"
"$CRANKCARD" recover 13 -H dial-table-72 --by-eye 5 --dial "2d41m +4/5" 2>&1
"$CRANKCARD" recover 13 -H dial-table-72 --dial "2d40m v1" 2>&1
"$CRANKCARD" recover 13 -H dividing-head-dial -m dial --dial "71 +1" 2>&1
"$CRANKCARD" check 13 5 turns 2d40m v1 -H dial-table-72 2>&1
"$CRANKCARD" recover 7 -H dial-table-90 --dial "3d25m v6" 2>&1
