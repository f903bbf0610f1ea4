# SPDX-License-Identifier: Apache-2.0
"""Runs every notebook from its first cell to its last; fails on an error, or on stored output.

usage: run_notebooks.py PROGRAM FOLDER      with the packages of notebooks/requirements.txt"""
import os, pathlib, sys, time

import nbformat
from nbclient import NotebookClient

program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
os.environ.update(CABINLOAD=program, MPLBACKEND="agg", CABINLOAD_CONFIG="none")
failed = []
for file in sorted(folder.glob("*.ipynb")):
    book = nbformat.read(file, as_version=4)
    if any(cell.get("outputs") or cell.get("execution_count") for cell in book.cells):
        failed.append(f"{file.name}: stored with output; clear it")
        continue
    started = time.monotonic()
    try:
        NotebookClient(book, timeout=240, kernel_name="python3", resources={"metadata": {"path": folder}}).execute()
    except Exception as error:  # the notebook's own error, with its cell
        failed.append(f"{file.name}: {error}")
    print(f"{file.name}: {time.monotonic() - started:.1f} s")
print("\n".join(failed), file=sys.stderr)
sys.exit(1 if failed else 0)
