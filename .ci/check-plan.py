"""Checks the files of a plan with nothing but Python's standard library: present, well-formed, and agreeing with each other."""
import argparse
import collections
import csv
import json
import math
import pathlib
import sqlite3
import struct
import sys
import xml.etree.ElementTree as ET

KINDS = {"boundary", "avoid", "steep-land", "outlet", "gate", "valley-line", "ridge-line", "keypoint", "lesser-break", "keyline", "common-keyline", "guide-line", "rip-line"}
RIP_LINE = ["id", "guide", "side", "offset_m", "length_m", "grade_max_pct", "grade_mean_pct", "to_ridge_share", "sequence"]

parser = argparse.ArgumentParser()
parser.add_argument("folder", type=pathlib.Path)
parser.add_argument("--least-lines", type=int, default=1)
args = parser.parse_args()
problems = []


def expect(condition, sentence):
    if not condition:
        problems.append(sentence)


plan = json.loads((args.folder / "plan.geojson").read_text("utf-8"))
expect(plan["type"] == "FeatureCollection" and "crs" not in plan, "plan.geojson is no RFC 7946 FeatureCollection")
features = plan["features"]
expect({f["properties"]["kind"] for f in features} <= KINDS, "a feature has an unknown kind")
lines = [f for f in features if f["properties"]["kind"] == "rip-line"]
guides = {f["properties"]["id"] for f in features if f["properties"]["kind"] == "guide-line"}
expect(len(lines) >= args.least_lines, f"only {len(lines)} rip lines")
expect(sum(f["properties"]["kind"] == "boundary" for f in features) >= 1, "no boundary")
expect(sorted(f["properties"]["sequence"] for f in lines) == list(range(1, len(lines) + 1)), "the driving order has holes")
for f in lines:
    p = f["properties"]
    expect(all(k in p for k in RIP_LINE), f"{p.get('id')} lacks a property")
    expect(p["guide"] in guides or p["guide"] == "", f"{p['id']} names no guide of the plan")
    expect(p["side"] in ("upslope", "downslope"), f"{p['id']} has no side")
    for position in f["geometry"]["coordinates"]:
        expect(len(position) == 3 and all(math.isfinite(v) for v in position), f"{p['id']} has a position without height")
        expect(-180 <= position[0] <= 180 and -90 <= position[1] <= 90, f"{p['id']} is not in degrees")

summary = json.loads((args.folder / "plan.json").read_text("utf-8"))
expect(len(json.dumps(summary)) > 500, "plan.json says next to nothing")
text = json.dumps(summary)
expect("sha256" in text and "warnings" in text and "cautions" in text, "plan.json lacks hashes, warnings or cautions")

gpx = ET.parse(args.folder / "guidance" / "lines.gpx").getroot()
space = "{http://www.topografix.com/GPX/1/1}"
expect(gpx.tag == space + "gpx" and gpx.get("version") == "1.1", "lines.gpx is no GPX 1.1")
expect(len(gpx.findall(space + "trk")) == len(lines), "lines.gpx has another number of tracks than the plan has lines")

with open(args.folder / "guidance" / "waypoints.csv", encoding="utf-8", newline="") as stream:
    rows = list(csv.reader(row for row in stream if not row.startswith("#")))
expect(len(rows) > 2 * len(lines), "waypoints.csv has too few points")
expect(len({len(r) for r in rows}) == 1, "waypoints.csv has rows of different lengths")

png = (args.folder / "plan.png").read_bytes()
expect(png[:8] == b"\x89PNG\r\n\x1a\n", "plan.png is no PNG")
width, height = struct.unpack(">II", png[16:24])
expect(width >= 1000 and height >= 700 and len(png) > 50_000, f"plan.png is only {width} x {height}")

package = args.folder / "plan.gpkg"
if package.exists():
    kinds = collections.Counter(f["properties"]["kind"].replace("-", "_") for f in plan["features"])
    with sqlite3.connect(f"file:{package}?mode=ro", uri=True) as tables:
        for kind, count in kinds.items():
            expect(tables.execute(f'select count(*) from "{kind}"').fetchone()[0] == count, f"plan.gpkg has not the {count} features of {kind}")
            ET.parse(args.folder / "styles" / f"{kind}.sld")
        expect(tables.execute("select count(*) from finding").fetchone()[0] == len(summary["findings"]), "plan.gpkg has not the findings of plan.json")

print("\n".join(sorted(set(problems))) or f"{len(lines)} rip lines, {len(guides)} guides, {len(rows) - 1} waypoints")
sys.exit(1 if problems else 0)
