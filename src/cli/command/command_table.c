/* command_table.c: one row a command. Help, the overview, completions and the tests read these rows. */
#include <stddef.h>

#include "cli/cli.h"
#include "cli/command/commands.h"

const struct command commands[] = {
    { "divide", cmd_divide, divide_tables, "N",
      "N equal divisions: the set-up and every step",
      "Finds the best setting of the head for N divisions of a turn and prints a card: how to set\n"
      "up, every movement with its hole and angle, how far off each is, and how to check.\n"
      "Methods: direct, plain, differential, compound, nearly-exact, nearest-hole, nearest-compound.\n",
      "  crankcard divide 57 --head small-tilting-geared\n"
      "  crankcard divide 30 --arc 90 --radius 40mm --format csv --output marks.csv\n" },
    { "angles", cmd_angles, angles_tables, "A...",
      "positions in any spacing, each with its own angle",
      "One set-up for a whole list of angles: exact for all of them where the head can do that, else with\n"
      "the smallest worst error. Each operand is one angle, perhaps with a label behind it in the same\n"
      "quotes; - reads standard input. Angles are counted from the zero hole, in the order given.\n",
      "  crankcard angles 37d30m\n"
      "  crankcard angles 0 \"37d30m keyway\" 120 240\n"
      "  crankcard angles --file flutes.txt --repeat 2 --radius 6mm\n" },
    { "methods", cmd_methods, methods_tables, "N",
      "every way to do it on this head, side by side, best first",
      "One line a method: the movement, how far off the worst position and the closing are, the\n"
      "crank turns of the whole job, and what has to be changed on the head.\n",
      "  crankcard methods 127 --head small-tilting-geared\n"
      "  crankcard methods 127 --all --format jsonl\n" },
    { "table", cmd_table, table_tables, "RANGE...",
      "one row per count, for a range or a list",
      "Ranges are 57, 2-400, 20,24,127 or any mix; - reads them from standard input.\n",
      "  crankcard table 2-400 --head small-tilting-geared\n"
      "  crankcard table 2-400 --gaps\n"
      "  crankcard table 20,24,30,127 --format csv --output gears.csv\n" },
    { "check", cmd_check, check_tables, "N MOVEMENT",
      "what a setting from a book or an old note really does",
      "The movement is written as in a handbook: 2 14/21 (turns and holes), 7/19+5/15 (compound),\n"
      "10/39-10/49. Gears that turn the plate meanwhile are given with --drivers and --driven. Status 1\n"
      "when the setting is wrong by more than the tolerance.\n",
      "  crankcard check 57 7/19+5/15\n"
      "  crankcard check 99 8/20 --drivers 32,28 --driven 40,56 --head small-tilting-geared\n" },
    { "gear", cmd_gear, gear_tables, "N...",
      "a gear or a train of gears: blanks, cutters, and a card for each",
      "Sizes of the blanks, the cutters to fetch (each once), and for every gear a short card: set-up,\n"
      "movement and measurements, in the order that changes plates least. Spur, --helix or --bevel.\n"
      "In a job file a line is TEETH and options; a line of options alone holds for the lines below.\n",
      "  crankcard gear 20 24 30 127 --module 1\n"
      "  crankcard gear 24 --dp 10 --pressure-angle 14.5 --helix 15 --hand left --screw 4tpi\n"
      "  crankcard gear 18 --bevel --mate 36 --module 2\n"
      "  crankcard gear --file train.gears --cutters 15\n" },
    { "heads", cmd_heads, heads_tables, "[NAME]",
      "list, show, check and print the profiles of dividing heads",
      "Without a name, lists the heads that can be given to --head. With one, shows what it\n"
      "has; crankcard table 2-400 --gaps --head NAME shows what it cannot divide exactly.\n",
      "  crankcard heads\n"
      "  crankcard heads small-tilting --print > my-head.ini\n"
      "  crankcard heads my-head.ini --prove\n" },
    { "tilt", cmd_tilt, tilt_tables, "[ANGLE]",
      "set and prove a tilt of the head, or find the tilt for teeth",
      "With an ANGLE, how to set it and what an indicator or a sine bar must show. With --for KIND, the tilt\n"
      "that cutter teeth, a clutch, a taper or a bevel gear needs. Tilts are measured up from level.\n",
      "  crankcard tilt 30 --zero 0d15m\n"
      "  crankcard tilt --for end --teeth 20 --cutter 70\n" },
    { "lead", cmd_lead, lead_tables, "[LENGTH]",
      "change gears between the table screw and the head, for a helix",
      "LENGTH is the table travel for one turn of the work; with --helix and --diameter it is worked out.\n"
      "Every train of 2 and 4 gears (6 with --most-gears 6) is tried; the nearest leads come first.\n",
      "  crankcard lead 8in --screw 4tpi --diameter 2in --head small-tilting-geared\n"
      "  crankcard lead --helix 30 --diameter 25 --screw 5 --starts 6 --head small-tilting-geared\n" },
    { "layout", cmd_layout, layout_tables, "N", "holes or slots on a circle by two dials, and chords to check them",
      "Coordinates of N equal positions, or with --angles of a list, rounded to what the dials show, the\n"
      "error of each, and chords for calipers. --format svg draws them at true scale.\n",
      "  crankcard layout 7 --diameter 80\n"
      "  crankcard layout 12 --diameter 3in --units in --corner --format csv\n"
      "  crankcard layout --angles 0 '37d30m keyway' 180 --diameter 50 --start 90 --clockwise\n" },
    { "assess", cmd_assess, assess_tables, "FILE",
      "measurements of a head: what they say, and whether it is good enough",
      "Reads runout, indexed positions, clamp, push-pull and footstock readings (docs/assess.md has the\n"
      "format). With --radius and --divisions, adds up what each does to the work; with a tolerance, says\n"
      "whether that will do and what helps most.\n",
      "  crankcard assess bench.csv\n"
      "  crankcard assess bench.csv --radius 30 --divisions 57 --tolerance 0.02mm\n"
      "  crankcard assess bench.csv --radius 30 --divisions 60 --class 9 --module 1 --write my-head.ini\n" },
    { "plates", cmd_plates, plates_tables, "RANGE...",
      "numbers the head leaves out, the best circles for one more plate",
      "Lists the numbers of a range without an exact direct or plain setting, and chooses the circles of a\n"
      "new plate that serve most of them. With --make, says how to drill a circle on this head and\n"
      "how good it gets, plate after plate.\n",
      "  crankcard plates 2-100 --circles 6 --least 15 --most 66\n"
      "  crankcard plates 2-200 --most 130 --want 127,125\n"
      "  crankcard plates --make 127 --drill 0.05 --diameter 120\n" },
    { "batch", cmd_batch, batch_tables, "FILE",
      "requests one a line, answers as JSON Lines",
      "Reads requests as they are typed after crankcard, quotes as in a shell, # for comments; nothing\n"
      "is executed. Answers come in the order of the lines, each record with its line; a bad line gives an\n"
      "error record and the rest runs. The exit status is the worst line's. - reads standard input.\n",
      "  crankcard batch jobs.txt > answers.jsonl\n"
      "  printf '%s\\n' 'divide 57 --no-steps' 'angles 37d30m' | crankcard batch -\n" },
    { "follow", cmd_follow, follow_tables, "REQUEST",
      "keep the place at the machine: one movement at a time",
      "REQUEST is what divide or angles takes: follow 57, follow angles 0 30 75. Enter or space: the movement\n"
      "is made and cut; b: one back; g N: go to step N; m: note a remark; q: leave, the place is kept. Every\n"
      "step is on the disk before the next is shown. Without a terminal, the same keys are read as lines.\n",
      "  crankcard follow 57 --head small-tilting-geared\n"
      "  crankcard follow --resume\n"
      "  crankcard follow --list\n" },
    { "recover", cmd_recover, recover_tables, "REQUEST",
      "the place is lost: which steps fit what can be seen",
      "REQUEST is what divide or angles takes. From the hole the pin stands in, a rough reading of the spindle's\n"
      "scale and the last cut that is sure, the steps that fit, the movement to the next one, and how to set\n"
      "zero again when none fits. Status 1 when none does.\n",
      "  crankcard recover 57 --hole 16 --hole2 0 --reading 151\n"
      "  crankcard recover 95 --hole 5 --reading 155 --uncertainty 2 --tooth 38\n"
      "  crankcard recover --job divide-57 --hole 16\n" },
    { NULL, NULL, NULL, NULL, NULL, NULL, NULL }
};
