# What cannot have been seen, each with its status.
bad() { "$CRANKCARD" recover "$@" 2>&1; echo "status $?"; }
bad 7 -H dial-table-90 --dial 4d
bad 7 -H dial-table-90 --dial 3d25m45s
bad 7 -H dial-table-90 --dial "3d25m v9"
bad 7 -H dial-table-90 --dial v
bad 7 -H dial-table-90 --dial 1d --hole 3
bad 7 -H dial-table-90 --rim 10 --reading 10
bad 7 -H dividing-head-dial -m dial --dial 3d
bad 7 -H dividing-head-dial -m dial --dial 71.5
bad 57 --dial 3d
bad 57 --rim 10
bad 57 --hole 3 --step 58
bad 57 --hole 3 --right 58
bad 57 --hole 3 --pin-circle 49
bad 57 --hole 3 --step 5 --right 9
bad 57 --hole 3 --step 5 --tooth 7
bad 57 --step 4
bad 7 -H dial-table-90 --dial "3d25m40s v4"
bad 7 -H dial-table-90 --dial 71
bad 7 -H dial-table-90 --hole 1234
bad 7 -H dial-table-90 --hole2 3 --tooth 1
bad 7 -H dial-table-90 --pin-circle 240 --dial 3d25m40s
bad 7 -H dial-table-90 --dial 3d25m40s --rim 400
bad 7 -H dial-table-90 --dial 3d25m40s --rim=-10
