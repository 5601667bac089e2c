"""Make what follows from the tables in the program: the commands and options of docs/crankcard.1, data/crankcard.bash, and
the tables of fields in docs/*.md.

    python3 docs/generate.py PROGRAM            write them
    python3 docs/generate.py PROGRAM --check    only say whether they are current (status 1 if not)

The source is what --help prints, which comes from each command's struct and option rows themselves
(src/cli/command/cmd_NAME.c), and what "help fields" prints, which comes from the forms beside the writers of records
(src/cli/out/form.h); so manual, completion, documents and program cannot drift apart. A document says where a table goes:
<!-- fields of NAME --> and <!-- end of fields -->.
"""
import glob
import os
import re
import subprocess
import sys
import tempfile

PAGE, COMPLETION = "docs/crankcard.1", "data/crankcard.bash"
BEGIN, END = '.\\" Made by "make generated" from --help:', '.\\" End of what was made.'


class Option:
    """One row of an option table, as --help shows it."""

    def __init__(self, letter, name, value, text):
        self.letter, self.name, self.value, self.text = letter, name, value, text
        self.key = (letter, name, value, text)


class Command:
    """What COMMAND --help says."""

    def __init__(self, program, name):
        text = program("--help", before=[name])
        self.name = name
        self.usage = re.match(r"usage: crankcard (.*?) \[OPTIONS\]", text).group(1)
        head, rest = text.split("\noptions:\n", 1)
        options, examples = rest.split("\nexamples:\n", 1)
        self.summary = re.search(rf"^{name}: (.*)$", head, re.M).group(1)
        self.about = head.split("\n\n", 2)[2].split("\n\n")
        self.options = [option(line) for line in options.splitlines()]
        self.examples = [line.strip() for line in examples.splitlines()]


def option(line):
    """'  -c, --circle HOLES   only ...': the value, if any, stands one blank behind the name."""
    found = re.match(r"  (?:-(.), |    )--([a-z0-9-]+)(?: (\S+))? +(.*)$", line)
    if found is None:
        sys.exit(f"generate.py: cannot read the option line {line!r}")
    return Option(*found.groups())


def runner(path, home):
    """A function that runs the program with nothing of the user's own in reach."""
    env = {k: v for k, v in os.environ.items() if not k.startswith("XDG_") and k != "CRANKCARD_HEAD"}
    env.update(HOME=home, LC_ALL="C")

    def run(*arguments, before=()):
        done = subprocess.run([path, *before, *arguments], env=env, stdin=subprocess.DEVNULL, check=False,
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT, cwd=home)
        return done.stdout.decode("utf-8")
    return run


def read_commands(program):
    part = program("--help").split("\ncommands:\n", 1)[1].split("\n\n", 1)[0]
    return [Command(program, line.split()[0]) for line in part.splitlines()]


# ---- the manual page ----

def roff(text):
    """Text as roff input; hyphens of options and file names must stay hyphens."""
    text = text.replace("\\", "\\e").replace("-", "\\-")
    for mark, name in (("°", "\\[de]"), ("′", "\\[fm]"), ("″", "\\[sd]"), ("×", "\\[mu]"), ("–", "\\[en]")):
        text = text.replace(mark, name)
    if not text.isascii():
        sys.exit(f"generate.py: no roff name for a character of {text!r}")
    return "\\&" + text if text[:1] in (".", "'") else text


def option_item(row):
    names = f"\\fB\\-{row.letter}\\fR, " if row.letter else ""
    names += f"\\fB\\-\\-{roff(row.name)}\\fR"
    if row.value:
        names += f" \\fI{roff(row.value)}\\fR"
    return [".TP", names, sentence(row.text)]


def sentence(text):
    """A row's text as a sentence; a list of words that can be typed keeps its small letters."""
    if re.match(r"[a-z]+,", text) is None:
        text = text[0].upper() + text[1:]
    return roff(text) + ("" if text.endswith(".") else ".")


def paragraph(text):
    """One sentence a line, as roff wants it."""
    return re.sub(r"(?<=[.:;]) (?=[A-Z])", "\n", " ".join(text.split())).split("\n")


def manual(commands):
    seen = {}
    for command in commands:
        for row in command.options:
            seen.setdefault(row.key, []).append((command.name, row))
    common = {key for key, uses in seen.items() if len(uses) >= 3}
    out = [".SH COMMANDS"]
    for command in commands:
        out += [f".SS crankcard {roff(command.usage)}", sentence(command.summary)]
        for text in command.about:
            out += [".PP"] + [roff(line) for line in paragraph(text)]
        own = [row for row in command.options if row.key not in common]
        for row in own:
            out += option_item(row)
        shared = [row.name for row in command.options if row.key in common and row.name != "help"]
        out += [".PP", "Common options: " + ", ".join("\\fB\\-\\-" + roff(name) + "\\fR" for name in shared) + "."]
    out += [".SH OPTIONS", "These are common to several commands; each command's part above names those it takes."]
    for key, uses in seen.items():
        if key in common:
            out += option_item(uses[0][1])
    out += [".TP", "\\fB\\-V\\fR, \\fB\\-\\-version\\fR",
            "In place of a command: show the version of the program and of the library for exact numbers."]
    return "\n".join(out) + "\n"


def with_part(page, part):
    before, rest = page.split(BEGIN + "\n", 1)
    after = rest.split(END + "\n", 1)[1]
    return before + BEGIN + "\n" + part + END + "\n" + after


# ---- bash completion ----

def words_of(program, command, row):
    """The words a value can be: from 'mm|in', or from the message about a wrong one."""
    if row.value is None or row.value == "NAME|FILE":
        return []
    if "|" in row.value:
        return row.value.split("|")
    if row.value not in ("NAME", "KIND"):
        return []
    message = program("1", f"--{row.name}", "?", before=[command.name]).strip().split(": ")[-1]
    words = re.split(r", | or ", message)
    return words if len(words) > 1 and all(re.fullmatch(r"[a-z0-9-]+", word) for word in words) else []


def names_of(row):
    return ([f"-{row.letter}"] if row.letter else []) + [f"--{row.name}"]


def value_cases(program, commands):
    """For each option with a value: what completes it, as lines of a case on COMMAND:OPTION."""
    cases = {}
    for command in commands:
        for row in command.options:
            if row.value is None:
                continue
            if row.name == "head":
                answer = "_crankcard_heads"
            elif "FILE" in row.value:
                answer = "compgen -f -- \"$2\""
            else:
                words = words_of(program, command, row)
                answer = f"compgen -W '{' '.join(words)}' -- \"$2\"" if words else ":"
            cases.setdefault(answer, []).extend(f"{command.name}:{name}" for name in names_of(row))
    return cases


def completion(program, commands):
    out = ["# bash completion for crankcard. Made by \"make generated\" from --help: do not edit.",
           "", "# Heads that --head takes by name; files complete as well.",
           "_crankcard_heads()", "{",
           "    crankcard heads 2> /dev/null | sed -n 's/^  \\([A-Za-z0-9._+-]*\\) .*/\\1/p'", "}", "",
           "# $1 is COMMAND:OPTION, $2 what is typed of the value; status 1 where the option takes none.",
           "_crankcard_value()", "{", "    case $1 in"]
    for answer, keys in value_cases(program, commands).items():
        lines, line = [], ""
        for key in keys:
            if len(line) + len(key) > 100:
                lines.append(line)
                line = ""
            line += key + "|"
        lines.append(line)
        out.append("    " + "\\\n    ".join(lines).rstrip("|") + ")")
        if answer == "_crankcard_heads":
            out.append("        compgen -W \"$(_crankcard_heads)\" -- \"$2\"; compgen -f -- \"$2\" ;;")
        else:
            out.append(f"        {answer} ;;")
    out += ["    *)", "        return 1 ;;", "    esac", "}", "",
            "_crankcard_options()", "{", "    case $1 in"]
    for command in commands:
        names = [name for row in command.options for name in names_of(row) if name.startswith("--")]
        out.append(f"    {command.name}) echo '{' '.join(names)}' ;;")
    names = " ".join(command.name for command in commands)
    out += ["    esac", "}", "",
            "_crankcard()", "{",
            "    local word=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]}",
            "", "    COMPREPLY=()",
            "    if [ \"$COMP_CWORD\" -eq 1 ]; then",
            f"        mapfile -t COMPREPLY < <(compgen -W '{names} help --help --version' -- \"$word\")",
            "        return",
            "    fi",
            "    case $command in",
            "    [0-9]*) command=divide ;;        # crankcard 57 is crankcard divide 57",
            "    esac",
            "    if _crankcard_value \"$command:$last\" '' > /dev/null; then",
            "        mapfile -t COMPREPLY < <(_crankcard_value \"$command:$last\" \"$word\")",
            "    elif [[ $word == -* ]]; then",
            "        mapfile -t COMPREPLY < <(compgen -W \"$(_crankcard_options \"$command\")\" -- \"$word\")",
            "    elif [ \"$command\" = heads ]; then",
            "        mapfile -t COMPREPLY < <(compgen -W \"$(_crankcard_heads)\" -- \"$word\")",
            "    elif [ \"$command\" = help ]; then",
            f"        mapfile -t COMPREPLY < <(compgen -W '{names} fields' -- \"$word\")",
            "    fi", "}", "",
            "# Where nothing is offered, bash completes file names.",
            "complete -o bashdefault -o default -F _crankcard crankcard"]
    return "\n".join(out) + "\n"


# ---- fields of the records ----

def fields_by_record(text):
    """What "help fields" prints, as {record: [(name, kind, meaning)]}; "kinds": [(kind, meaning)]."""
    found = {}
    for part in text.split("\n\n")[1:]:
        head, *lines = part.strip("\n").split("\n")
        found[head.split(":")[0]] = [re.split(r" {2,}", line.strip(), maxsplit=2 if ":" in head else 1) for line in lines]
    return found


def field_table(record, rows):
    heads = ["kind", "meaning"] if record == "kinds" else ["field", "kind", "meaning"]
    out = ["| " + " | ".join(heads) + " |", "| " + " | ".join("---" for _ in heads) + " |"]
    for row in rows:
        if record != "kinds":
            row = [f"`{row[0]}`", *row[1:]]
        out.append("| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |")
    return "\n".join(out) + "\n"


def documents(program):
    """Each document with its tables, by path; every record has its table once."""
    records = fields_by_record(program("fields", before=["help"]))
    wanted, places = {}, {}
    for path in sorted(glob.glob("docs/*.md")):
        with open(path, encoding="utf-8") as file:
            text = file.read()

        def table(found, path=path):
            name = found.group(1)
            if name not in records:
                sys.exit(f"generate.py: {path} wants the fields of {name}, which is no record")
            places.setdefault(name, []).append(path)
            return f"<!-- fields of {name} -->\n{field_table(name, records[name])}<!-- end of fields -->\n"
        wanted[path] = re.sub(r"<!-- fields of (\w+) -->\n.*?<!-- end of fields -->\n", table, text, flags=re.S)
    for name in records:
        if len(places.get(name, [])) != 1:
            sys.exit(f"generate.py: the fields of {name} stand in {len(places.get(name, []))} documents, not in one: <!-- fields of {name} -->")
    return wanted


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    with open(PAGE, encoding="utf-8") as file:
        page = file.read()
    with tempfile.TemporaryDirectory() as home:
        program = runner(os.path.abspath(sys.argv[1]), home)
        commands = read_commands(program)
        wanted = {PAGE: with_part(page, manual(commands)), COMPLETION: completion(program, commands), **documents(program)}
    stale = 0
    for path, text in wanted.items():
        old = ""
        if os.path.exists(path):
            with open(path, encoding="utf-8") as file:
                old = file.read()
        if old == text:
            continue
        if sys.argv[2:] == ["--check"]:
            print(f"FAIL {path} is not what the program says of itself: run make generated")
            stale = 1
        else:
            with open(path, "w", encoding="utf-8") as file:
                file.write(text)
    return stale


sys.exit(main())
