bad() { "$CRANKCARD" assess examples/invented-readings.csv "$@"; echo "status $?" ; }
bad --radius 3
bad --tolerance 1m
bad --radius 20 --divisions 5 --tolerance abc
bad --radius 20 --divisions 5 --class 5
bad --radius 20 --divisions 5 --class 12 --module 1
bad --write nowhere.ini
bad --write data/heads/none.ini --harmonics 9
