# What a head cannot do for a gear is said on the card, and the status is 1.
can() { "$CRANKCARD" gear "$@" --format card | sed '/^Before/,$d'; "$CRANKCARD" gear "$@" > /dev/null; echo "status $?"; }
can 20 --bevel --mate 30 --module 1 --head rotary-table-90
can 36 --helix 20 --module 1 --head spin-fixture-36
can 20 --helix 20 --module 1 --screw 5mm --head rotary-table-90
