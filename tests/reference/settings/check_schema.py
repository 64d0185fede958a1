#!/usr/bin/env python3
"""[check:json-schema] The schemas under docs are valid by the draft's own meta-schema, and a validator that is not
ours accepts every tariff and site file of the tree and every example of docs/tariff-format.md, and refuses what a
misspelt key, a lost unit or a word that is no choice makes of them.

    check_schema.py TREE        ends with 4 where python3-jsonschema or python3-yaml is not installed
"""
import copy
import json
import pathlib
import re
import sys

try:
    import jsonschema
    import yaml
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(4)


class Yaml12(yaml.SafeLoader):
    """Plain scalars by the core schema of YAML 1.2 (10.3.2), as editors take them; PyYAML's own are of YAML 1.1,
    where 23:00 is a number and 11-01 may be part of a date."""


Yaml12.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)", "-+.0123456789"),
    ("null", r"null|Null|NULL|~|", ["n", "N", "~", ""]),
):
    Yaml12.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^({pattern})$"), list(first))

tree = pathlib.Path(sys.argv[1])
wrong = 0


def complain(text):
    global wrong
    wrong += 1
    print(text)


def validator(kind):
    schema = json.loads((tree / f"docs/{kind}.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def accepted(by, name, text):
    value = yaml.load(text, Yaml12)
    for error in by.iter_errors(value):
        complain(f"{name}: {error.json_path}: {error.message}")
    return value


def refused(by, what, value):
    if by.is_valid(value):
        complain(f"accepted: {what}")


tariff, site = validator("tariff"), validator("site")
read = 0
for file in sorted(tree.glob("config/**/*.yaml")) + sorted(tree.glob("docs/examples/**/*.yaml")) + sorted(
    tree.glob("tests/reference/tariffs/*.yaml")
):
    text = file.read_text()
    accepted(tariff if "\nrevisions:" in text else site, file.relative_to(tree), text)
    read += 1
page = (tree / "docs/tariff-format.md").read_text()
examples = re.findall(r"^```yaml\n(.*?)^```", page, re.S | re.M)
for number, text in enumerate(examples, 1):
    accepted(tariff, f"docs/tariff-format.md, example {number}", text)
if read < 25 or len(examples) < 4:
    complain(f"only {read} files and {len(examples)} examples were found")

good = yaml.load(examples[0], Yaml12)
for what, change in (
    ("a misspelt key", lambda file: file.update(curency="CAD")),
    ("a misspelt key of a window", lambda file: file["revisions"][0]["windows"][0].update(per_kw=1)),
    ("no currency", lambda file: file.pop("currency")),
    ("a date that is none", lambda file: file["revisions"][0].update({"from": "1 May 2025"})),
    ("a time without its zero", lambda file: file["revisions"][0]["windows"][0].update({"from": "7:00"})),
    ("a price with its currency", lambda file: file["revisions"][0]["windows"][0].update(per_kwh="0.13 CAD")),
    ("a tax without its unit", lambda file: file["revisions"][0].update(taxes=[{"name": "t", "percent": 14}])),
    ("a word that is no choice", lambda file: file.update(seasons_by="bill")),
    ("a mapping where a list belongs", lambda file: file.update(revisions=file["revisions"][0])),
):
    bad = copy.deepcopy(good)
    change(bad)
    refused(tariff, what, bad)
house = yaml.load((tree / "config/reference.yaml").read_text(), Yaml12)
for what, change in (
    ("amperes without their unit", lambda file: file["service"].update(rating=100)),
    ("amperes in volts", lambda file: file["service"].update(rating="100 V")),
    ("a unit that is none", lambda file: file["points"][0].update(hard_setting="32 amps")),
    ("an unknown section", lambda file: file.update(house={})),
):
    bad = copy.deepcopy(house)
    change(bad)
    refused(site, what, bad)
print(f"{read} files and {len(examples)} examples were read, {wrong} wrong")
sys.exit(1 if wrong else 0)
