# SPDX-License-Identifier: Apache-2.0
"""Runs the program from a notebook. The program's name stands in CABINLOAD, or it lies in a build
folder of this clone, or on the PATH."""
import json, os, pathlib, shutil, subprocess, tempfile

here = pathlib.Path(__file__).resolve().parent
top = here.parent
_built = sorted(map(str, (top / "build").glob("*/cabinload")))
program = os.environ.get("CABINLOAD") or next(iter(_built), None) or shutil.which("cabinload")
assert program, "build the program first (.cabinload/try), or name it in CABINLOAD"


def text(*arguments):
    """What the program prints. Status 1 is an answer too: a limit was not met."""
    done = subprocess.run([program, *map(str, arguments)], capture_output=True, text=True)
    assert done.returncode in (0, 1), done.stderr
    return done.stdout


def answer(*arguments):
    """The answer as a dictionary (its schema: src/report/schema)."""
    return json.loads(text(*arguments, "--json"))


def result(*arguments):
    """Path of a result file (src/store/FORMAT.md), in a folder of its own under /tmp."""
    file = pathlib.Path(tempfile.mkdtemp(prefix="cabinload-")) / "result.h5"
    text(*arguments, "--out", file, "--quiet")
    return file
