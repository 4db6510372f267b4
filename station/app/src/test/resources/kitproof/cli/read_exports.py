"""Reads a batch's tables as any other program would, and prints the rows of results.csv as JSON.

By the standard library (csv, json), and by pandas without a hand's touch. Fails if the tables do not
say the same however they are read.
"""

import csv
import json
import sys

import pandas

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

# What pandas makes of them by itself: numbers where there are numbers, nothing where there is nothing.
NUMBERS = ["attempt", "value", "u_below", "u_above", "u_dof", "low", "high", "guard_low", "guard_high", "conformance"]
read = {
    "csv": pandas.read_csv(f"{folder}/results.csv", float_precision="round_trip"),
    "json": pandas.read_json(f"{folder}/results.json", precise_float=True),
}
for kind, frame in read.items():
    rows = tables("results")[0]
    assert list(frame.columns) == list(rows[0]), kind
    assert len(frame) == len(rows), kind
    for column in NUMBERS:
        numbers = frame[column].astype(float)
        for row, number in zip(rows, numbers):
            if row[column] == "":
                assert pandas.isna(number), (kind, column, number)
            elif kind == "csv":
                assert float(row[column]) == number, (kind, column, row[column], number)
            else:  # its fast reader is right to the last digits but one
                far = abs(float(row[column]) - number)
                assert number == float(row[column]) or far <= 1e-14 * abs(number), (kind, column, number)
    gain = frame[frame.result == "gain"].groupby("conditions").value.describe()
    assert gain["count"].sum() == sum(row["result"] == "gain" for row in rows), kind
assert pandas.read_csv(f"{folder}/units.csv").attempts.dtype.kind == "i"
started = pandas.to_datetime(read["csv"].started)
assert str(started.dt.tz) == "UTC", started.dt.tz

json.dump(tables("results")[0], sys.stdout)
