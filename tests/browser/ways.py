"""Start what the section 'Other ways to run' of README.md starts, on a free port, and stop it again."""

import contextlib
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import lab

ROOT = Path(__file__).resolve().parents[2]
SERVE = ROOT / "workbooks" / "instructor" / "serve"


def copy_of_serve(folder):
    """The workbooks and these scripts in a folder of their own, so that no record of yours is read or written."""
    shutil.copytree(ROOT / "workbooks", folder / "workbooks",
                    ignore=shutil.ignore_patterns(".ipynb_checkpoints", "my-pond*", "__pycache__"))
    return folder / "workbooks" / "instructor" / "serve"


@contextlib.contextmanager
def running(command, answers_at, folder, **surroundings):
    """Run a Python command in a folder until the block ends; ready once the address answers."""
    log = Path(folder) / "log"
    with open(log, "w") as out:
        server = subprocess.Popen([sys.executable, *command], cwd=folder, stdout=out, stderr=subprocess.STDOUT,
                                  env=os.environ | surroundings)
        try:
            lab.wait_for(answers_at, server, log)
            yield server, log
        finally:
            server.send_signal(signal.SIGTERM)
            with contextlib.suppress(subprocess.TimeoutExpired):
                server.wait(20)
            server.kill()
            server.wait()


def megabytes(server, word):
    """Memory (proportional share, MB) of each process under `server` whose command line holds `word`; Linux only."""
    parents, lines = {}, {}
    for place in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            parents[place.name] = (place / "stat").read_text().rpartition(")")[2].split()[1]
            lines[place.name] = (place / "cmdline").read_bytes().replace(b"\0", b" ").decode(errors="replace")
    found = {}
    for number, line in lines.items():
        above = number
        while above in parents and above != str(server.pid):
            above = parents[above]
        if above == str(server.pid) and word in line:
            with contextlib.suppress(OSError):
                rows = Path(f"/proc/{number}/smaps_rollup").read_text().splitlines()
                found[int(number)] = next(int(row.split()[1]) for row in rows if row.startswith("Pss:")) / 1024
    return found
