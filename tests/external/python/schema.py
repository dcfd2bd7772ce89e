"""Validates documents against a JSON Schema of draft 2020-12; answers what is wrong with each."""

import json
import sys

from jsonschema import Draft202012Validator

asked = json.load(sys.stdin)
Draft202012Validator.check_schema(asked["schema"])
validator = Draft202012Validator(asked["schema"])
answer = []
for document in asked["documents"]:
    errors = sorted(validator.iter_errors(document), key=lambda e: list(map(str, e.absolute_path)))
    answer.append([f"{'/'.join(map(str, e.absolute_path))}: {e.message}" for e in errors])
json.dump(answer, sys.stdout)
