"$CRANKCARD" check 2 14/21 for 15
echo $?
"$CRANKCARD" check 99 8/20 --idlers 3
echo $?
