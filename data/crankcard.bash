# bash completion for crankcard. Made by "make generated" from --help: do not edit.

# Heads that --head takes by name; files complete as well.
_crankcard_heads()
{
    crankcard heads 2> /dev/null | sed -n 's/^  \([A-Za-z0-9._+-]*\) .*/\1/p'
}

# $1 is COMMAND:OPTION, $2 what is typed of the value; status 1 where the option takes none.
_crankcard_value()
{
    case $1 in
    divide:-k|divide:--block|divide:--arc|divide:--offset|divide:--mark|divide:--number|divide:--value|\
    divide:--lead|divide:--mounted|divide:-c|divide:--circle|divide:--by-eye|divide:--most-turns|\
    divide:-r|divide:--radius|divide:--from|divide:--to|divide:--note|divide:--exaggerate|divide:-w|\
    divide:--width|divide:--pages|angles:--repeat|angles:--offset|angles:--lead|angles:--mounted|\
    angles:-c|angles:--circle|angles:--by-eye|angles:-r|angles:--radius|angles:--from|angles:--to|\
    angles:--note|angles:--exaggerate|angles:-w|angles:--width|angles:--pages|methods:-k|methods:--block|\
    methods:--arc|methods:--offset|methods:--mounted|methods:-c|methods:--circle|methods:--by-eye|\
    methods:--most-turns|methods:-r|methods:--radius|methods:-w|methods:--width|methods:--pages|\
    table:--mounted|table:-c|table:--circle|table:--by-eye|table:--most-turns|table:-r|table:--radius|\
    table:-w|table:--width|table:--pages|check:--drivers|check:--driven|check:--idlers|check:-k|\
    check:--block|check:--by-eye|check:--mounted|check:-r|check:--radius|check:-w|check:--width|\
    check:--pages|gear:--module|gear:--dp|gear:--pressure-angle|gear:--helix|gear:--mate|\
    gear:--shaft-angle|gear:--face|gear:--profile-shift|gear:--span|gear:--pin|gear:--name|gear:-c|\
    gear:--circle|gear:-k|gear:--block|gear:--most-turns|gear:-s|gear:--screw|gear:-t|gear:--tolerance|\
    gear:--mounted|gear:-w|gear:--width|gear:--pages|heads:-w|heads:--width|tilt:--teeth|tilt:--cutter|\
    tilt:--cone|tilt:--mate|tilt:--shaft-angle|tilt:--dedendum|tilt:--bore|tilt:-z|tilt:--zero|\
    tilt:--travel|tilt:--bar|tilt:--sine|tilt:--measured|tilt:--turned|tilt:--scale-shows|tilt:-w|\
    tilt:--width|tilt:--pages|flats:--across|flats:--stock|flats:--depth|flats:--shy|flats:--cutter|\
    flats:--ring|flats:--holes|flats:--over|flats:--mounted|flats:-c|flats:--circle|flats:--by-eye|\
    flats:-r|flats:--radius|flats:--from|flats:--to|flats:--note|flats:-w|flats:--width|flats:--pages|\
    lead:-s|lead:--screw|lead:--helix|lead:-d|lead:--diameter|lead:-l|lead:--length|lead:--starts|\
    lead:--gears|lead:--drivers|lead:--driven|lead:--idlers|lead:--list|lead:--within|lead:--mounted|\
    lead:-w|lead:--width|lead:--pages|layout:-d|layout:--diameter|layout:--resolution|layout:--centre|\
    layout:--start|layout:--slot|layout:--pin|layout:-w|layout:--width|layout:--pages|assess:-r|\
    assess:--radius|assess:-n|assess:--divisions|assess:-l|assess:--length|assess:--class|\
    assess:--module|assess:--harmonics|assess:--indexed|assess:--mounted|assess:-w|assess:--width|\
    assess:--pages|plates:--circles|plates:--least|plates:--most|plates:--want|plates:--make|\
    plates:--holds|plates:--drill|plates:-d|plates:--diameter|plates:--mounted|plates:-w|plates:--width|\
    plates:--pages|follow:--forget|follow:--salvage|follow:--record|follow:--pass|follow:--pieces|\
    follow:--measure-after|follow:--check-every|follow:--read-aloud|follow:-k|follow:--block|\
    follow:--arc|follow:--offset|follow:--mark|follow:--number|follow:--value|follow:--most-turns|\
    follow:--lead|follow:--mounted|follow:-c|follow:--circle|follow:--by-eye|follow:-r|follow:--radius|\
    follow:-w|follow:--width|follow:--pages|recover:--hole|recover:--hole2|recover:--reading|\
    recover:--dial|recover:--rim|recover:--uncertainty|recover:--scale-zero|recover:--tooth|\
    recover:--step|recover:--right|recover:--cuts|recover:--pin-circle|recover:--job|recover:--at|\
    recover:--most|recover:-k|recover:--block|recover:--arc|recover:--offset|recover:--mark|\
    recover:--number|recover:--value|recover:--most-turns|recover:--lead|recover:--mounted|recover:-c|\
    recover:--circle|recover:--by-eye|recover:-w|recover:--width|recover:--pages|recover:-r|\
    recover:--radius)
        : ;;
    divide:-H|divide:--head|angles:-H|angles:--head|methods:-H|methods:--head|table:-H|table:--head|\
    check:-H|check:--head|gear:-H|gear:--head|tilt:-H|tilt:--head|flats:-H|flats:--head|lead:-H|\
    lead:--head|assess:-H|assess:--head|plates:-H|plates:--head|follow:-H|follow:--head|recover:-H|\
    recover:--head)
        compgen -W "$(_crankcard_heads)" -- "$2"; compgen -f -- "$2" ;;
    divide:-m|divide:--method|angles:-m|angles:--method|methods:-m|methods:--method|table:-m|\
    table:--method|gear:-m|gear:--method|flats:-m|flats:--method|plates:-m|plates:--method|follow:-m|\
    follow:--method|recover:-m|recover:--method)
        compgen -W 'direct plain differential compound nearly-exact nearest-hole nearest-compound dial' -- "$2" ;;
    divide:-t|divide:--tolerance|angles:-t|angles:--tolerance|methods:-t|methods:--tolerance|table:-t|\
    table:--tolerance|check:-t|check:--tolerance|flats:-t|flats:--tolerance|assess:-t|assess:--tolerance|\
    follow:-t|follow:--tolerance|recover:-t|recover:--tolerance)
        compgen -W 'ANGLE LENGTH' -- "$2" ;;
    divide:-f|divide:--format|angles:-f|angles:--format|table:-f|table:--format|check:-f|check:--format|\
    flats:-f|flats:--format|lead:-f|lead:--format|layout:-f|layout:--format|assess:-f|assess:--format)
        compgen -W 'card csv tsv jsonl html svg' -- "$2" ;;
    divide:-o|divide:--output|angles:--file|angles:-o|angles:--output|methods:-o|methods:--output|\
    table:-o|table:--output|check:-o|check:--output|gear:--file|gear:-o|gear:--output|heads:-o|\
    heads:--output|tilt:--write|tilt:-o|tilt:--output|flats:-o|flats:--output|lead:-o|lead:--output|\
    layout:-o|layout:--output|assess:--write|assess:-o|assess:--output|plates:-o|plates:--output|\
    batch:-o|batch:--output|recover:-o|recover:--output)
        compgen -f -- "$2" ;;
    divide:-u|divide:--units|angles:-u|angles:--units|methods:-u|methods:--units|table:-u|table:--units|\
    check:-u|check:--units|gear:-u|gear:--units|tilt:-u|tilt:--units|flats:-u|flats:--units|lead:-u|\
    lead:--units|layout:-u|layout:--units|assess:-u|assess:--units|plates:-u|plates:--units|follow:-u|\
    follow:--units|recover:-u|recover:--units)
        compgen -W 'mm in' -- "$2" ;;
    methods:-f|methods:--format|gear:-f|gear:--format)
        compgen -W 'card csv tsv jsonl html' -- "$2" ;;
    gear:--hand|lead:--hand)
        compgen -W 'right left' -- "$2" ;;
    gear:--cutters)
        compgen -W '8 15' -- "$2" ;;
    tilt:--for)
        compgen -W 'end side taper square-clutch saw-clutch v-clutch bevel' -- "$2" ;;
    tilt:--by)
        compgen -W 'travel bar sine' -- "$2" ;;
    tilt:-f|tilt:--format|plates:-f|plates:--format|recover:-f|recover:--format)
        compgen -W 'card csv tsv jsonl' -- "$2" ;;
    lead:--most-gears)
        compgen -W '2 4 6' -- "$2" ;;
    lead:--geared-to)
        compgen -W 'worm spindle' -- "$2" ;;
    assess:--standard)
        compgen -W 'iso2013 iso1995 jis1976' -- "$2" ;;
    batch:-f|batch:--format)
        compgen -W 'jsonl html' -- "$2" ;;
    *)
        return 1 ;;
    esac
}

_crankcard_options()
{
    case $1 in
    divide) echo '--block --arc --offset --ends --mark --number --value --clockwise --counter --lead --head --mounted --method --circle --by-eye --tolerance --most-turns --radius --from --to --no-steps --all-steps --brief --working --note --tally --decimal --strip --exaggerate --format --width --ascii --pages --output --units --help' ;;
    angles) echo '--file --incremental --sort --repeat --offset --clockwise --counter --lead --head --mounted --method --circle --by-eye --tolerance --radius --from --to --no-steps --all-steps --brief --working --note --tally --decimal --strip --exaggerate --format --width --ascii --pages --output --units --help' ;;
    methods) echo '--all --block --arc --offset --ends --head --mounted --method --circle --by-eye --tolerance --most-turns --radius --units --format --width --ascii --pages --output --help' ;;
    table) echo '--gaps --wall --head --mounted --method --circle --by-eye --tolerance --most-turns --radius --units --format --width --ascii --pages --output --help' ;;
    check) echo '--drivers --driven --idlers --block --by-eye --tolerance --head --mounted --radius --units --format --width --ascii --pages --output --help' ;;
    gear) echo '--module --dp --pressure-angle --helix --bevel --spur --hand --mate --shaft-angle --face --profile-shift --span --pin --name --method --circle --block --most-turns --file --cutters --screw --tolerance --head --mounted --format --width --ascii --pages --output --units --help' ;;
    heads) echo '--print --where --prove --width --ascii --output --help' ;;
    tilt) echo '--for --teeth --cutter --cone --mate --shaft-angle --dedendum --bore --zero --travel --bar --sine --measured --turned --by --scale-shows --write --first --head --format --width --ascii --pages --output --units --help' ;;
    flats) echo '--across --stock --depth --shy --cutter --ring --holes --over --clockwise --counter --head --mounted --method --circle --by-eye --tolerance --radius --from --to --no-steps --all-steps --brief --working --note --tally --decimal --strip --format --width --ascii --pages --output --units --help' ;;
    lead) echo '--screw --helix --diameter --length --hand --starts --gears --drivers --driven --idlers --most-gears --list --geared-to --within --head --mounted --format --width --ascii --pages --output --units --help' ;;
    layout) echo '--diameter --angles --resolution --corner --centre --start --clockwise --slot --pin --format --width --ascii --pages --output --units --help' ;;
    assess) echo '--radius --divisions --length --tolerance --class --module --standard --both-ways --harmonics --indexed --write --head --mounted --format --width --ascii --pages --output --units --help' ;;
    plates) echo '--circles --least --most --want --method --make --holds --drill --diameter --head --mounted --format --width --ascii --pages --output --units --help' ;;
    batch) echo '--format --strict --output --help' ;;
    follow) echo '--resume --list --forget --salvage --record --ready --pass --pieces --measure-after --check-every --any-key --read-aloud --ascii --block --arc --offset --ends --mark --number --value --most-turns --lead --clockwise --counter --head --mounted --method --circle --by-eye --tolerance --radius --width --pages --units --help' ;;
    recover) echo '--hole --hole2 --reading --dial --rim --uncertainty --scale-zero --scale-falls --tooth --step --right --cuts --pin-circle --job --at --most --slips --re-zero --block --arc --offset --ends --mark --number --value --most-turns --lead --clockwise --counter --head --mounted --method --circle --by-eye --tolerance --format --width --ascii --pages --output --units --radius --help' ;;
    esac
}

_crankcard()
{
    local word=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]}

    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        mapfile -t COMPREPLY < <(compgen -W 'divide angles methods table check gear heads tilt flats lead layout assess plates batch follow recover help --help --version' -- "$word")
        return
    fi
    case $command in
    [0-9]*) command=divide ;;        # crankcard 57 is crankcard divide 57
    esac
    if _crankcard_value "$command:$last" '' > /dev/null; then
        mapfile -t COMPREPLY < <(_crankcard_value "$command:$last" "$word")
    elif [[ $word == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$(_crankcard_options "$command")" -- "$word")
    elif [ "$command" = heads ]; then
        mapfile -t COMPREPLY < <(compgen -W "$(_crankcard_heads)" -- "$word")
    elif [ "$command" = help ]; then
        mapfile -t COMPREPLY < <(compgen -W 'divide angles methods table check gear heads tilt flats lead layout assess plates batch follow recover fields' -- "$word")
    fi
}

# Where nothing is offered, bash completes file names.
complete -o bashdefault -o default -F _crankcard crankcard
