# A terminal of its own for tests of follow (tmux), to be read by them: "name" is the test's.
. "$(dirname "$0")/follow_common.sh"
if ! command -v tmux > /dev/null 2>&1; then
    echo "skip $name: tmux is not installed"
    exit 0
fi
work=$(mktemp -d) || exit 1
socket=$work/socket
t() { tmux -S "$socket" -f /dev/null "$@"; }
trap 't kill-server 2> /dev/null; rm -rf "$work"' EXIT
unset TMUX ENV
export LC_ALL=C.UTF-8 XDG_STATE_HOME="$work/state" HOME="$work"

fail() {
    echo "FAIL $name: $*"
    t capture-pane -p | sed 's/^/    | /'
    exit 1
}

# Wait until the screen shows $1 (a basic regular expression), 10 seconds at most.
shows() {
    tries=0
    until t capture-pane -p | grep -q -e "$1"; do
        tries=$((tries + 1))
        [ $tries -gt 200 ] && fail "the screen does not show '$1'"
        sleep 0.05
    done
}

# A shell of $1 columns and $2 lines, in a folder of its own.
open_terminal() {
    cd "$work" || exit 1
    t new-session -d -x "$1" -y "$2" sh || exit 1
    t send-keys -l "PS1='ready> '; clear"
    t send-keys Enter
    shows '^ready>$'
}

# A key that is guarded against being held down, and what it leads to.
press() {
    sleep 0.82
    t send-keys "$1"
    shows "$2"
}
