"""Fills in stakes.csv as a level would read it and has it compared: check-setout.py SETOUT PLAN FARM WORK.

The laser's plane is computed here, apart from the product: ground under a stake = plane - reading. One reading is spoilt
by 0.5 m, which must be found; without it, everything must hold.
"""
import csv
import json
import os
import subprocess
import sys

setout, plan, farm, work = sys.argv[1:5]
rows = list(csv.DictReader(open(os.path.join(setout, "stakes.csv"), newline="", encoding="utf-8")))
stakes = [r for r in rows if r["planned_height_m"]]
assert len(stakes) >= 20, len(stakes)
names = [r["stake"] for r in stakes if r["why"] != "read again"]
assert len(names) == len(set(names))
for r in stakes:
    if r["expected_rod_m"]:
        assert abs(228.9 + 1.35 - float(r["planned_height_m"]) - float(r["expected_rod_m"])) < 0.0011, r
sheet = open(os.path.join(setout, "setout.html"), encoding="utf-8").read()
assert all(name in sheet for name in names) and "<svg" in sheet and "NaN" not in sheet and "http" not in sheet

def keyline(*words):
    run = subprocess.run(["dotnet", "run", "-c", "Release", "--no-build", "--project", "src/Keyline.Console", "--", *words], capture_output=True, text=True)
    assert run.returncode in (0, 3), run.stderr
    return run.returncode, run.stdout

def fill(name, spoil):
    planes = {}
    path = os.path.join(work, name)
    with open(path, "w", newline="", encoding="utf-8") as out:
        table = csv.DictWriter(out, rows[0].keys())
        table.writeheader()
        for r in rows:
            r = dict(r)
            height = float(r["planned_height_m"] or r["height_m"]) + (0.5 if r["stake"] == spoil else 0)
            plane = planes.setdefault(r["setup"], height + 1.4)
            r["rod_m"] = "%.3f" % (plane - height)
            table.writerow(r)
    return path

code, said = keyline("setout", plan, "--readings", fill("good.csv", None), "--json")
said = json.loads(said)
assert code == 0 and said["rms_m"] < 0.002 and len(said["stakes"]) == len(names), said["rms_m"]
spoilt = names[7]
code, said = keyline("setout", plan, "--readings", fill("spoilt.csv", spoilt), "--refit", "--dem", os.path.join(farm, "dem.tif"), "--out", os.path.join(work, "levelled"), "--json")
said = json.loads(said)
assert code == 3 and [s["stake"] for s in said["stakes"] if not s["within"]] == [spoilt], said
assert said["refitted"][0]["moved_max_m"] > 1
print(len(names), "stakes")
