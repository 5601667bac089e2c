# 60 sin(180/127 degrees) is 1.484 mm from hole to hole; the same without a diameter
"$CRANKCARD" plates --make 127 --drill 0.05 --diameter 60 | sed -n '/^Or:/,/^$/p'
"$CRANKCARD" plates --make 127 | sed -n '/^Or:/,/^$/p'
"$CRANKCARD" plates --make 127 --drill 0.002in --diameter 5in --units in | sed -n '/^Or:/,/^$/p'
