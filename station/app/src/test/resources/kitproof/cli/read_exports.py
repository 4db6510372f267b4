"""Reads a batch's tables as any other program would, and prints the rows of results.csv as JSON.

Standard library only (csv, json). Fails if the JSON tables do not say the same as the CSV tables.
"""

import csv
import json
import sys

folder = sys.argv[1]


def tables(name):
    with open(f"{folder}/{name}.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file, strict=True))
    with open(f"{folder}/{name}.json", encoding="utf-8") as file:
        return rows, json.load(file)


def same(text, value):
    if value is None:
        return text == ""
    if isinstance(value, (int, float)):
        return float(text) == value
    return text == value


for name in ("units", "results"):
    rows, objects = tables(name)
    assert len(rows) == len(objects), (name, len(rows), len(objects))
    for row, of in zip(rows, objects):
        assert list(row) == list(of), (name, list(row), list(of))
        for column, text in row.items():
            assert same(text, of[column]), (name, column, text, of[column])
    described = {c["column"] for c in tables("columns")[1] if c["file"] == name + ".json"}
    assert described == set(objects[0]), (name, described)

json.dump(tables("results")[0], sys.stdout)
