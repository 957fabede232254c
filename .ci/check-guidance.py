#!/usr/bin/env python3
"""Reads the forms of guidance with GDAL's ogr2ogr, and task data with the npm package isoxml, and finds the same points."""
import json
import math
import pathlib
import subprocess
import sys

folder = pathlib.Path(sys.argv[1])
modules = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else None
MILLIMETRE = 0.001


def parts(geometry):
    return [geometry["coordinates"]] if geometry["type"] == "LineString" else geometry["coordinates"] if geometry["type"] == "MultiLineString" else []


def points(geometry):
    return [p[:2] for part in parts(geometry) for p in part]


def metres(a, b):
    return math.hypot((a[0] - b[0]) * 111_320 * math.cos(math.radians(a[1])), (a[1] - b[1]) * 111_320)


def compare(what, found, wanted):
    assert found.keys() >= wanted.keys(), f"{what}: {len(wanted.keys() - found.keys())} lines are missing"
    worst = 0.0
    for name, line in wanted.items():
        assert len(found[name]) == len(line), f"{what}: {name} has {len(found[name])} points, not {len(line)}"
        worst = max([worst] + [metres(a, b) for a, b in zip(found[name], line)])
    assert worst < MILLIMETRE, f"{what}: {worst} m off"
    print(f"{what}: {len(wanted)} lines within {1000 * worst:.3f} mm")


own = json.loads((folder / "lines.geojson").read_text("utf-8"))["features"]
wanted = {f["properties"]["id"]: points(f["geometry"]) for f in own if f["properties"]["kind"] == "guidance-line"}
assert len(wanted) > 100
for file, layer in (("lines.geojson", "lines"), ("lines.gpx", "tracks"), ("lines.kml", "Lines in driving order"), ("lines.shp", "lines"), ("lines.gpkg", "lines")):
    text = subprocess.run(["ogr2ogr", "-f", "GeoJSONSeq", "-lco", "COORDINATE_PRECISION=12", "/vsistdout/", folder / file, layer], capture_output=True, text=True, check=True).stdout
    found = {}
    for line in text.splitlines():
        feature = json.loads(line.lstrip("\x1e"))
        p = feature["properties"]
        found[feature.get("id") if file == "lines.geojson" else p.get("name") or p.get("Name")] = points(feature["geometry"])
    compare(file, found, wanted)

if modules:
    script = """
const fs = require('fs'); const { ISOXMLManager } = require('isoxml');
(async () => {
  const m = new ISOXMLManager();
  if (process.argv[1].endsWith('.zip')) await m.parseISOXMLFile(new Uint8Array(fs.readFileSync(process.argv[1])), 'application/zip');
  else await m.parseISOXMLFile(fs.readFileSync(process.argv[1], 'utf8'), 'text/xml');
  const field = m.rootElement.attributes.Partfield[0].attributes;
  console.log(JSON.stringify({ warnings: m.getWarnings(), lines: field.GuidanceGroup.flatMap(g => g.attributes.GuidancePattern).map(p => [p.attributes.GuidancePatternDesignator,
    p.attributes.LineString[0].attributes.Point.map(q => [Number(q.attributes.PointEast), Number(q.attributes.PointNorth)])]) }));
})();
"""
    for file in ("TASKDATA/TASKDATA.XML", "taskdata.zip"):
        out = subprocess.run(["node", "-e", script, str((folder / file).resolve())], cwd=modules, capture_output=True, text=True, check=True).stdout
        read = json.loads(out)
        assert not read["warnings"], read["warnings"][:3]
        compare(file, dict(read["lines"]), wanted)
