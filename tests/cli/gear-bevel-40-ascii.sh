"$CRANKCARD" gear 18 --bevel --mate 36 --module 2 --width 40 --ascii
