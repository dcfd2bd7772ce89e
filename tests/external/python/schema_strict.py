"""Spoils a document in one place at a time and asks a JSON Schema (draft 2020-12) about each.

In: {"schema": ..., "documents": [...]}. Long lists are cut to one member of each form first. Out: "bad" (what is wrong with the
documents as they are), "tried" (how many spoilt ones), "optional" (keys whose absence is accepted) and "accepted" (all else that
is accepted): places with [] for the members of a list.
"""

import copy
import json
import sys

from jsonschema import Draft202012Validator

WRONG = {"no such key": 1}
LONG = 8


def form(value, deep=2):
    if isinstance(value, dict) and deep:
        named = {k: v for k, v in value.items() if k in ("motion", "type", "kind", "id")}
        return json.dumps([sorted((k, form(v, deep - 1)) for k, v in value.items()), named], default=str, sort_keys=True)
    if isinstance(value, list):
        return "list of " + (form(value[0], 1) if value else "nothing")
    return type(value).__name__


def cut(value):
    if isinstance(value, dict):
        return {k: cut(v) for k, v in value.items()}
    if isinstance(value, list):
        kept = value
        if value and isinstance(value[0], dict):
            first = {}
            for v in value:
                first.setdefault(form(v), v)
            # A deviation card has four headings at least.
            some = value[: 4 if "steer_deg" in value[0] else 2]
            kept = some + [v for v in first.values() if all(v is not w for w in some)]
        elif len(value) > LONG:
            kept = value[:3]
        return [cut(v) for v in kept]
    return value


def spoilt(document):
    """Every way of spoiling it: place, how, and the spoilt document, which is mended after each."""

    def walk(value, place):
        if isinstance(value, dict):
            value["added"] = 1
            yield place, "added"
            del value["added"]
            for key in list(value):
                inner, path = value[key], f"{place}.{key}"
                before = dict(value)
                del value[key]
                yield path, "removed"
                value[key + "_x"] = inner
                yield path, "renamed"
                value.clear()
                value.update(before)
                others = [WRONG, "1"] if isinstance(inner, (int, float)) else [WRONG]
                others += [1] if isinstance(inner, str) else []
                others += ["yes"] if isinstance(inner, bool) else []
                for wrong in others:
                    value[key] = wrong
                    yield path, f"{json.dumps(wrong)} for {type(inner).__name__}"
                value[key] = inner
                yield from walk(inner, path)
        elif isinstance(value, list):
            for i, inner in enumerate(value):
                value[i] = WRONG
                yield f"{place}[]", "wrong member"
                value[i] = inner
                yield from walk(inner, f"{place}[]")

    yield from walk(document, "")


asked = json.load(sys.stdin)
validator = Draft202012Validator(asked["schema"])
bad, optional, accepted, tried, seen = [], set(), set(), 0, set()
for document in asked["documents"]:
    document = cut(copy.deepcopy(document))
    bad += [e.message[:300] for e in validator.iter_errors(document)]
    for place, how in spoilt(document):
        # Once is enough for each place and form.
        if (place, how) in seen:
            continue
        seen.add((place, how))
        tried += 1
        if validator.is_valid(document):
            (optional if how == "removed" else accepted).add(place if how == "removed" else f"{place}: {how}")
json.dump({"bad": bad, "tried": tried, "optional": sorted(optional), "accepted": sorted(accepted)}, sys.stdout)
