"$CRANKCARD" recover 127 -m nearly-exact --hole 34 --hole2 24 --at 61
