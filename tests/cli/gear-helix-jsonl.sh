"$CRANKCARD" gear 22 --module 1.5 --helix 15 --mate 44 --screw 5mm --head small-tilting-geared --format jsonl
