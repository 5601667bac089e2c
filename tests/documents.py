"""Run the commands shown in documents and compare what they print; see that links lead somewhere. Called
by run_documents.sh.

Each document has a folder of its own, in which the top folders of the source can be seen. A block that
begins with ```ini NAME (or any language and a file name) is written to that file before the
commands that follow it run.

With --rewrite first, what a command is shown to print is replaced by what it prints, where the two differ and
no line is left out with "...".
"""
import glob
import os
import re
import subprocess
import sys
import tempfile


def blocks(path):
    """Fenced code blocks as (file name or None, line number, lines)."""
    inside, start, lines, name = False, 0, [], None
    for number, line in enumerate(open(path, encoding="utf-8"), 1):
        line = line.rstrip("\n")
        if line.startswith("```"):
            if inside:
                yield name, start, lines
            words = line[3:].split()
            name = words[1] if not inside and len(words) > 1 else None
            inside, start, lines = not inside, number + 1, []
        elif inside:
            lines.append(line)


def runs(start, lines):
    """(line number, command, expected lines) of each command in a block."""
    command, at, expected = None, 0, []
    for offset, line in enumerate(lines):
        if line.startswith("$ "):
            if command is not None:
                yield at, command, expected
            command, at, expected = line[2:], start + offset, []
        elif command is not None:
            expected.append(line)
    if command is not None:
        yield at, command, expected


def matches(expected, real):
    pattern = "".join(r"(?:.*\n)*?" if line == "..." else re.escape(line) + r"\n" for line in expected)
    return re.fullmatch(pattern, "".join(line + "\n" for line in real)) is not None


def headings(path):
    with open(path, encoding="utf-8") as file:
        return [line.strip("# \n") for line in file if line.startswith("#")]


def dead_links(path):
    """Relative links of a document to files that are not there."""
    with open(path, encoding="utf-8") as file:
        for target in re.findall(r"\]\(([^)#:]+)[^):]*\)", file.read()):
            if not os.path.exists(os.path.join(os.path.dirname(path), target)):
                yield f"{path}: no file {target}"


def dead_references():
    """Comments that name a document, or a heading of one, that is not there."""
    for folder in ("include/crankcard", "src/core", "src/plan", "src/trade", *sorted(glob.glob("src/cli/*/"))):
        for name in sorted(os.listdir(folder)):
            with open(os.path.join(folder, name), encoding="utf-8") as file:
                text = re.sub(r"\s+(\* )?", " ", file.read())
            for document, heading in re.findall(r'(docs/[a-z]+\.md)(?:, "([^"]+)")?', text):
                if not os.path.exists(document):
                    yield f"{folder}/{name}: no document {document}"
                elif heading and heading not in headings(document):
                    yield f"{folder}/{name}: {document} has no heading {heading}"


def prepare(folder):
    """A document's own folder, with the top folders of the source in it."""
    os.mkdir(folder)
    for top in ("data", "examples", "tests"):
        os.symlink(os.path.abspath(top), os.path.join(folder, top))


def replace(path, changes):
    """Put new lines in place of old ones: (number of the first, how many, new lines)."""
    with open(path, encoding="utf-8") as file:
        lines = file.read().split("\n")
    for first, many, new in reversed(changes):
        lines[first - 1:first - 1 + many] = new
    with open(path, "w", encoding="utf-8") as file:
        file.write("\n".join(lines))


def run_document(path, folder, env, rewrite):
    """Run the commands of one document; how many ran, and how many failed."""
    failed = count = 0
    changes = []
    prepare(folder)
    for name, start, lines in blocks(path):
        if name is not None:
            with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                file.write("".join(line + "\n" for line in lines))
            continue
        for at, command, expected in runs(start, lines):
            if not command.startswith("crankcard"):
                continue
            done = subprocess.run(["sh", "-c", command], env=env, cwd=folder, stdin=subprocess.DEVNULL,
                                  stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False)
            real = done.stdout.decode("utf-8").splitlines()
            count += 1
            if matches(expected, real):
                continue
            if rewrite and "..." not in expected:
                changes.append((at + 1, len(expected), real))
                continue
            failed += 1
            print(f"FAIL {path}:{at}: {command}")
            print("  printed:")
            print("\n".join("    " + line for line in real[:60]))
    if changes:
        replace(path, changes)
    return count, failed


def main():
    count = 0
    rewrite = sys.argv[1] == "--rewrite"
    paths = sys.argv[2:] if rewrite else sys.argv[1:]
    dead = [fault for path in paths for fault in dead_links(path)] + list(dead_references())
    for fault in dead:
        print("FAIL", fault)
    failed = len(dead)
    with tempfile.TemporaryDirectory() as home:
        env = {k: v for k, v in os.environ.items() if not k.startswith("XDG_") and k != "CRANKCARD_HEAD"}
        env.update(LC_ALL="C", HOME=home, PATH=os.path.dirname(env["CRANKCARD"]) + ":" + env["PATH"])
        for number, path in enumerate(paths):
            ran, wrong = run_document(path, os.path.join(home, f"document{number}"), env, rewrite)
            count += ran
            failed += wrong
    if failed == 0:
        print(f"ok   {count} commands shown in documents")
    return 1 if failed else 0


sys.exit(main())
