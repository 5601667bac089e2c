# Steps 0, 1, 2, 3 of 97 land in holes 0, 20, 40, 61 of 49. With slot 1 as the new zero, slot 3 lies 41 holes on and the
# card gives 40: one hole, 11 minutes of the spindle, out of the cut. So only a slot whose step is known will do.
"$CRANKCARD" recover 97 -m nearest-hole -c 49 --re-zero
