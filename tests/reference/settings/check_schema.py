#!/usr/bin/env python3
"""Holds the committed schemas against every settings file of the tree, by the general validator jsonschema.

   check_schema.py TREE   exit status 4: the validator is not installed
"""
import copy
import glob
import json
import re
import sys

try:
    import jsonschema
    import yaml
except ImportError:
    print("skipped: python3-jsonschema and python3-yaml are not here")
    sys.exit(4)

tree = sys.argv[1]


class Loader(yaml.SafeLoader):
    """As editors read YAML 1.2: dates stay text, and `on` is a word."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, rule) for tag, rule in rules if tag not in ("tag:yaml.org,2002:timestamp", "tag:yaml.org,2002:bool")]
    for first, rules in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
Loader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(true|false)$"), list("tf"))


def validator(name):
    with open(f"{tree}/docs/{name}.schema.json", encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


wrong = 0


def expect(valid, schema, content, where):
    global wrong
    faults = [f"{'/'.join(map(str, error.absolute_path))}: {error.message[:120]}" for error in schema.iter_errors(content)]
    if bool(faults) == valid:
        wrong += 1
        print(f"{where}: {'refused: ' + '; '.join(faults) if faults else 'accepted'}")


tariff, site = validator("tariff"), validator("site")
tariffs = [(name, open(name, encoding="utf-8").read())
           for name in sorted(glob.glob(f"{tree}/config/tariffs/*.yaml") + glob.glob(f"{tree}/tests/reference/tariffs/*.yaml"))]
page = open(f"{tree}/docs/tariff-format.md", encoding="utf-8").read()
tariffs += [(f"example {i}", text) for i, text in enumerate(re.findall(r"```yaml\n(.*?)```", page, re.S))]
for name, text in tariffs:
    expect(True, tariff, yaml.load(text, Loader), name)
sites = sorted(glob.glob(f"{tree}/config/*/site.yaml") + glob.glob(f"{tree}/docs/examples/*/site.yaml"))
for name in sites + [f"{tree}/config/reference.yaml"]:
    expect(True, site, yaml.load(open(name, encoding="utf-8"), Loader), name)

good = yaml.load(tariffs[0][1], Loader)
for change in ({"curency": "CAD"}, {"format": 2}, {"revisions": "none"}, {"holidays": []}, {"zone": ["a"]}):
    bad = copy.deepcopy(good)
    bad.update(change)
    expect(False, tariff, bad, f"with {change}")
print(f"{len(tariffs)} tariffs, {len(sites) + 1} sites, 5 mistakes: {wrong} wrong")
sys.exit(1 if wrong else 0)
