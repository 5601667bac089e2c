#!/usr/bin/env python3
"""--output and standard output when the world is unkind: signals, links, full disks, closed pipes, folders not to be written.

usage: output_file.py PROGRAM

The file is then as it was, nothing is left beside it, and the one line names the call that failed and its own reason.
"""
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time

PROGRAM = os.path.abspath(sys.argv[1])
if os.geteuid() == 0:       # another user runs it too, who may not come to where it is built
    COPY = tempfile.TemporaryDirectory()
    os.chmod(COPY.name, 0o755)
    PROGRAM = shutil.copy(PROGRAM, COPY.name)
LONG = ["table", "2-3000000", "-f", "csv"]     # minutes of rows
STEPS = ["divide", "90000", "-m", "nearest-compound", "-f", "csv"]  # rows in large blocks
NOBODY = 65534
OLD = b"as it was\n"
bad = 0


def expect(good, what):
    global bad
    if not good:
        bad += 1
        print("FAIL output_file: " + what)


class Folder:
    def __enter__(self):
        self.path = tempfile.mkdtemp()
        return self

    def __exit__(self, *ignored):
        shutil.rmtree(self.path)

    def put(self, name="out.csv"):
        with open(os.path.join(self.path, name), "wb") as f:
            f.write(OLD)

    def left(self):
        """name: content of every file"""
        found = {}
        for name in os.listdir(self.path):
            with open(os.path.join(self.path, name), "rb") as f:
                found[name] = f.read(100)
        return found

    def start(self, words, **more):
        env = {"LC_ALL": "C", "HOME": self.path, "PATH": os.environ["PATH"]}
        return subprocess.Popen([PROGRAM] + words, cwd=self.path, env=env, stdin=subprocess.DEVNULL, stderr=subprocess.PIPE,
                                encoding="utf-8", **more)


def signals():
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT):
        for words in (LONG, ["batch", "requests"]):
            with Folder() as folder:
                folder.put()
                if words[0] == "batch":
                    with open(os.path.join(folder.path, "requests"), "w", encoding="ascii") as f:
                        f.write("table 2-30000\n" * 200)
                before = set(os.listdir(folder.path))
                run = folder.start(words + ["-o", "out.csv"], preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CORE, (0, 0)))
                for _ in range(1000):
                    if set(os.listdir(folder.path)) != before or run.poll() is not None:
                        break
                    time.sleep(0.005)
                expect(run.poll() is None, f"{words[0]}: it is done before {number.name} can be sent")
                run.send_signal(number)
                err = run.communicate(timeout=60)[1]
                expect(run.returncode == -number, f"{words[0]}, {number.name}: ends with {run.returncode}: {err}")
                expect(set(os.listdir(folder.path)) == before and folder.left()["out.csv"] == OLD,
                       f"{words[0]}, {number.name}: leaves {sorted(folder.left())}")


def ignored_signal():
    """As under nohup: a hang-up that is ignored stays ignored."""
    with Folder() as folder:
        run = folder.start(["table", "2-9000", "-f", "csv", "-o", "out.csv"],
                           preexec_fn=lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN))
        while not os.listdir(folder.path) and run.poll() is None:
            time.sleep(0.005)
        run.send_signal(signal.SIGHUP)
        run.communicate(timeout=60)
        expect(run.returncode in (0, 1) and list(folder.left()) == ["out.csv"], f"an ignored SIGHUP ends it: {run.returncode}")


def links():
    with Folder() as folder:
        os.symlink("target.csv", os.path.join(folder.path, "out.csv"))
        run = folder.start(["57", "-o", "out.csv"])
        run.communicate(timeout=60)
        expect(run.returncode == 0 and os.path.islink(os.path.join(folder.path, "out.csv"))
               and os.path.isfile(os.path.join(folder.path, "target.csv")), "a link to nothing is not followed")
        os.symlink("loop", os.path.join(folder.path, "loop"))
        run = folder.start(["57", "-o", "loop"])
        err = run.communicate(timeout=60)[1]
        expect(run.returncode == 2 and "cannot follow the links of 'loop'" in err, f"a circle of links: {err}")


def no_room():
    with Folder() as folder:
        folder.put()
        run = folder.start(LONG + ["-o", "out.csv"], preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (200000, 200000)))
        err = run.communicate(timeout=60)[1]
        expect(run.returncode == 2 and "cannot write 'out.csv': File too large" in err, f"a limit on the size of files: {err}")
        expect(folder.left() == {"out.csv": OLD}, f"a limit on the size of files leaves {folder.left()}")
        if os.path.exists("/dev/full"):
            for words in (LONG, STEPS, ["57"]):
                with open("/dev/full", "wb") as full:
                    run = folder.start(words, stdout=full)
                    err = run.communicate(timeout=60)[1]
                expect(run.returncode == 2 and "cannot write to standard output: No space left on device" in err,
                       f"{words[:2]}: a full disk: {err}")
                run = folder.start(words + ["-o", "/dev/full"])
                err = run.communicate(timeout=60)[1]
                expect(run.returncode == 2 and "cannot write '/dev/full': No space left on device" in err,
                       f"{words[:2]}: -o on a full disk: {err}")


def closed_pipe():
    for words in (LONG, STEPS, ["57"]):
        with Folder() as folder:
            read, write = os.pipe()
            os.close(read)
            run = folder.start(words, stdout=write, restore_signals=False,
                               preexec_fn=lambda: signal.signal(signal.SIGPIPE, signal.SIG_IGN))
            os.close(write)
            err = run.communicate(timeout=60)[1]
            expect(run.returncode == 2 and "cannot write to standard output: Broken pipe" in err, f"{words[:2]}: a closed pipe: {err}")


def folders():
    """Root may write anywhere, so it becomes another user first."""
    with Folder() as folder:
        run = folder.start(["57", "-o", "none/out.csv"])
        err = run.communicate(timeout=60)[1]
        expect(run.returncode == 2 and "cannot make a file beside 'none/out.csv': No such file or directory" in err, f"no folder: {err}")
        if os.geteuid() != 0:
            print("     output_file: skipped: a folder that may not be written needs root to become another user")
            return
        os.chmod(folder.path, 0o755)
        run = folder.start(["57", "-o", "out.csv"], user=NOBODY, group=NOBODY, extra_groups=[])
        err = run.communicate(timeout=60)[1]
        expect(run.returncode == 2 and "cannot make a file beside 'out.csv': Permission denied" in err, f"a folder not to be written: {err}")
        # To be written and not to be read: it cannot be synced, and that is all.
        os.chmod(folder.path, 0o733)
        run = folder.start(["57", "-o", "out.csv"], user=NOBODY, group=NOBODY, extra_groups=[])
        err = run.communicate(timeout=60)[1]
        expect(run.returncode == 0 and "out.csv" in folder.left(), f"a folder that may not be read: {err}")


signals()
ignored_signal()
links()
no_room()
closed_pipe()
folders()
if bad == 0:
    print("ok   output_file: signals, links, full disks, closed pipes, folders")
sys.exit(1 if bad else 0)
