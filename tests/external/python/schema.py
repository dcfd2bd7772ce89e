"""Validates GeoJSON against a JSON Schema (draft 2020-12) with the package jsonschema.

In: {"schema": …, "maps": [[name, text], …]}. Out: for each map the places and sentences of what is wrong with it.
"""

import json
import sys

from jsonschema import Draft202012Validator

asked = json.load(sys.stdin)
Draft202012Validator.check_schema(asked["schema"])
validator = Draft202012Validator(asked["schema"])
answers = []
for name, text in asked["maps"]:
    wrong = [
        f"{name}: {'/'.join(str(p) for p in e.absolute_path)}: {e.message}"
        for e in validator.iter_errors(json.loads(text))
    ]
    answers.append(wrong)
json.dump(answers, sys.stdout)
