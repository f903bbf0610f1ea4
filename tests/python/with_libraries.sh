#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Runs a script of this folder with the Python that has the reference libraries: the one that
# CABINLOAD_REFERENCE_PYTHON names, else the system's (the script then says that they are missing).
here=$(dirname "$0")
script=$1
shift
exec "${CABINLOAD_REFERENCE_PYTHON:-/usr/bin/python3}" -B "$here/$script" "$@"
