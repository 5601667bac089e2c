"$CRANKCARD" lead 48in --screw 4tpi --diameter 25 --hand left --list 2 --width 40 --ascii --head small-tilting-geared
