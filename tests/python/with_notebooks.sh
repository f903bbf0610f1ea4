#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Runs the notebooks with the Python that CABINLOAD_NOTEBOOK_PYTHON names; without one they are skipped.
[ -n "$CABINLOAD_NOTEBOOK_PYTHON" ] || { echo "CABINLOAD_NOTEBOOK_PYTHON is not set: notebooks skipped"; exit 77; }
exec "$CABINLOAD_NOTEBOOK_PYTHON" -B "$(dirname "$0")/run_notebooks.py" "$@"
