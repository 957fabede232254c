#!/usr/bin/env python3
"""Plants one fault after another in a folder of src/Keyline, builds, and runs that folder's tests until the first fails (docs/testing.md).

    tests/plant.py Layout 45                  45 faults, spread evenly over all places where one could be planted
    tests/plant.py Layout/Even 20 --minutes 10

For folders whose tests take too long for tests/mutate.py. A fault turns one comparison, sum, product or condition round. Files are put back after each; run it in a
checkout with nothing uncommitted.
"""
import argparse, pathlib, subprocess, time

ROOT = pathlib.Path(__file__).resolve().parent.parent
TURNS = [(" < ", " >= "), (" > ", " <= "), (" <= ", " > "), (" >= ", " < "), (" + ", " - "), (" - ", " + "), (" * ", " / "), (" / ", " * "),
         (" && ", " || "), (" || ", " && "), (" == ", " != "), (" != ", " == ")]
BUILD = ["dotnet", "build", "tests/Keyline.Tests", "-c", "Release", "-v", "q", "-p:RunAnalyzers=false", "-p:TreatWarningsAsErrors=false"]

arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
arguments.add_argument("folder")
arguments.add_argument("count", type=int)
arguments.add_argument("--minutes", type=float, default=60, help="stop after so many minutes (60)")
arguments.add_argument("--patience", type=int, default=150, help="seconds after which tests that do not end count as failed (150)")
options = arguments.parse_args()
space = "Keyline.Tests." + options.folder.replace("/", ".")
TEST = ["dotnet", "tests/Keyline.Tests/bin/Release/net10.0/Keyline.Tests.dll", "-noLogo", "-noColor", "-stopOnFail", "-namespace", space, "-namespace", space + ".*"]


def run(command, patience=None):
    try:
        return subprocess.run(command, cwd=ROOT, capture_output=True, timeout=patience).returncode
    except subprocess.TimeoutExpired:
        return -1


places = []
for file in sorted((ROOT / "src" / "Keyline" / options.folder).rglob("*.cs")):
    for number, line in enumerate(file.read_text(encoding="utf-8").split("\n")):
        if line.strip().startswith(("//", "using")) or '"' in line:
            continue
        places += [(file, number, line.find(turn[0]), turn) for turn in TURNS if turn[0] in line]

if run(BUILD) != 0 or run(TEST, options.patience) != 0:
    raise SystemExit("The build or the tests fail before any fault is planted.")
end, told = time.time() + 60 * options.minutes, {"dies": 0, "lives": 0, "not compiled": 0}
for k in range(options.count):
    if time.time() > end:
        break
    # Seven on from one to the next, so that a run that is broken off has been everywhere.
    step = 7 if options.count % 7 else 1
    file, number, at, (old, new) = places[int((k * step % options.count + 0.5) * len(places) / options.count)]
    text = file.read_text(encoding="utf-8")
    lines = text.split("\n")
    lines[number] = lines[number][:at] + new + lines[number][at + len(old):]
    file.write_text("\n".join(lines), encoding="utf-8")
    try:
        verdict = "not compiled" if run(BUILD) != 0 else "lives" if run(TEST, options.patience) == 0 else "dies"
    finally:
        file.write_text(text, encoding="utf-8")
    told[verdict] += 1
    print(f"{verdict:12} {file.relative_to(ROOT / 'src' / 'Keyline')}:{number + 1}  {lines[number].strip()[:120]}", flush=True)
print(f"{len(places)} places; {told['dies']} of {told['dies'] + told['lives']} faults die, {told['not compiled']} did not compile")
