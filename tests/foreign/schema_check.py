"""Check parameter files against the JSON Schemas with a foreign validator and YAML reader.

    python schema_check.py --design SCHEMA --shop SCHEMA --plan SCHEMA FILE...    exit 1 if any file is wrong

A file says in its first line which of the schemas it follows. Then files are damaged one key at
a time, and the schema must see it: an unknown key, a number in place of a list, a missing name.
"""
import argparse
import json
import sys
from pathlib import Path

from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

HEAD = "# yaml-language-server: $schema="


def checks(path, schemas):
    text = path.read_text(encoding="utf-8")
    first = text.split("\n", 1)[0]
    named = first.removeprefix(HEAD).rsplit("/", 1)[-1]
    there = (path.parent / first.removeprefix(HEAD)).is_file()
    yield first.startswith(HEAD) and named in schemas and there, "names its schema in the first line"
    if named not in schemas:
        return
    validator = Draft202012Validator(schemas[named])
    data = YAML(typ="safe", pure=True).load(text)
    faults = [f"{e.json_path}: {e.message[:200]}" for e in validator.iter_errors(data)]
    yield not faults, f"follows the schema {faults[:3]}"
    for words, damaged in damages(data):
        yield not validator.is_valid(damaged), f"the schema sees {words}"


def damages(data):
    yield "an unknown key", {**data, "lenght": 3}
    yield "no version", {k: v for k, v in data.items() if not k.startswith("limberwood")}
    yield "another unit", {**data, "units": "furlong"}
    for key in ("sections", "cutters", "stock", "entries"):
        if key in data:
            yield f"a number for {key}", {**data, key: 7}
            yield f"an unknown key in {key}", {**data, key: [{**data[key][0], "tale": 1}]}


def main():
    arguments = argparse.ArgumentParser(description=__doc__,
                                        formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--design", type=Path, required=True)
    arguments.add_argument("--shop", type=Path, required=True)
    arguments.add_argument("--plan", type=Path, required=True)
    arguments.add_argument("files", nargs="+", type=Path)
    given = arguments.parse_args()
    schemas = {}
    for name, path in (("limberwood.schema.json", given.design),
                       ("limberwood-shop.schema.json", given.shop),
                       ("limberwood-plan.schema.json", given.plan)):
        schemas[name] = json.loads(path.read_text(encoding="utf-8"))
        Draft202012Validator.check_schema(schemas[name])
    passed = failed = 0
    for path in given.files:
        for right, words in checks(path, schemas):
            passed, failed = passed + right, failed + (not right)
            if not right:
                print(f"  {path}: {words}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
