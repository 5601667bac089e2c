#!/bin/sh
# A set of change wheels for an invented small lathe, from the job file to the finished job sheet.
#
#   examples/change-wheels.sh
#
# writes into the folder that OUTPUT names (default: the current one)
#   change-wheels.txt    the sheet to print and take to the machine
#   change-wheels.csv    the same gears for a spreadsheet
#
# CRANKCARD names the program (default: build/crankcard beside this folder).
set -eu
here=$(dirname "$0")
program=${CRANKCARD:-$here/../build/crankcard}
out=${OUTPUT:-.}

head=$here/../data/heads/small-tilting-geared.ini

"$program" gear --file "$here/change-wheels.gears" --head "$head" --screw 5mm --pages 60 --output "$out/change-wheels.txt"
"$program" gear --file "$here/change-wheels.gears" --head "$head" --screw 5mm --format csv --output "$out/change-wheels.csv"
