# Options that a command does not act on, letters that are gone, and what cannot stand together.
bad() { "$CRANKCARD" "$@"; echo "status $?"; } 2>&1
bad methods 57 --mark 5=mid
bad methods 57 --units in
bad table 2-9 --units in
bad angles 10 --most-turns 3
bad tilt 30 --mounted B
bad tilt --for bevel --teeth 20 --mate 40 --shaft 80
bad follow 57 --no-steps
bad follow 57 --output place
bad recover 57 --hole 3 --tally
bad recover 57 --hole 3 --radius 20
bad recover angles 10 20 --hole 3 --from 1
bad layout 7 -d 80 -s 90
bad plates 2-9 -k 3
bad divide 57 --clockwise --counter
bad gear 24 --module 1.25furlong
bad gear 24 --module -1mm
bad gear 20,24-26,30 --dp 0
bad gear 24 --dp 0
bad gear 1-2000 --module 1
bad gear 20 --teeth 3
bad gear 20 --modul 3
bad methods 57 -ah
