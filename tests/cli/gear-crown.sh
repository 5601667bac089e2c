"$CRANKCARD" gear 20 --bevel --mate 10 --shaft-angle 120 --module 1
