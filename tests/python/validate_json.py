#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Runs the program and validates what it prints against the project's JSON Schema.

usage: validate_json.py PROGRAM SCHEMA ARGUMENT...
"""
import json
import subprocess
import sys

try:
    import jsonschema
except ImportError:
    sys.exit("error: python3 cannot import jsonschema; on Debian: apt-get install python3-jsonschema")

program, schema_path, arguments = sys.argv[1], sys.argv[2], sys.argv[3:]
run = subprocess.run([program, *arguments], capture_output=True, text=True, check=False)
if run.returncode not in (0, 1):
    sys.exit(f"error: exit status {run.returncode}: {run.stderr}")
if run.stderr:
    sys.exit(f"error: --json must be silent on stderr: {run.stderr}")
with open(schema_path, encoding="utf-8") as file:
    schema = json.load(file)
jsonschema.Draft7Validator.check_schema(schema)
answer = json.loads(run.stdout)
jsonschema.Draft7Validator(schema).validate(answer)
# The schema must be able to fail: an unknown key and a missing one are refused.
for broken in ({**answer, "surprise": 1}, {k: v for k, v in answer.items() if k != "cautions"}):
    if jsonschema.Draft7Validator(schema).is_valid(broken):
        sys.exit("error: the schema accepts a broken answer")
print(f"valid: {len(run.stdout)} bytes, {answer['answer']}")
