#!/usr/bin/env python3
"""Mutation testing of one folder of src/Keyline with dotnet-stryker (docs/testing.md).

    tests/mutate.py Planar                    every mutant of a folder, against that folder's own tests
    tests/mutate.py Layout --every 4          mutants that lie within every fourth line, the same ones every time
    tests/mutate.py Check --only LineIndex    one file

stryker mutates and compiles a whole project. So the library is laid out anew under artifacts/mutation as three projects: the folders before
the one looked at, that folder (the one mutated), and those after it. Which of these a test needs, it finds as before.
"""
import argparse, json, os, pathlib, shutil, subprocess, sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
ORDER = ["Planar", "Elevation", "Terrain", "Drainage", "Landform", "Field", "Check", "Layout", "Guidance", "SetOut", "Driven"]
PLANNER = ["KeylinePlanner.cs", "KeylinePlan.cs"]  # the chain uses every room; all else beside the rooms is used by all
PROPS = """<Project>
  <PropertyGroup>
    <TargetFramework>net10.0</TargetFramework><LangVersion>latest</LangVersion><Nullable>enable</Nullable><ImplicitUsings>enable</ImplicitUsings>
    <RunAnalyzers>false</RunAnalyzers><Deterministic>true</Deterministic><SatelliteResourceLanguages>en</SatelliteResourceLanguages>
  </PropertyGroup>
</Project>
"""


def project(name, uses, packages, friends, more=""):
    lines = ["<Project Sdk=\"Microsoft.NET.Sdk\">", more, "<ItemGroup>"]
    lines += [f'<ProjectReference Include="../{u}/{u}.csproj" />' for u in uses]
    lines += [f'<PackageReference Include="{p}" />' for p in packages]
    lines += [f'<InternalsVisibleTo Include="{f}" />' for f in friends]
    folder = OUT / name
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{name}.csproj").write_text("\n".join(lines + ["</ItemGroup>", "</Project>", ""]))
    return folder


def copy(sources, folder):
    for source in sources:
        if source.is_dir():
            shutil.copytree(source, folder / source.name)
        else:
            shutil.copy(source, folder)


arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
arguments.add_argument("folder", choices=ORDER)
arguments.add_argument("--every", type=int, default=1, help="mutants within every so manyth line alone")
arguments.add_argument("--only", nargs="+", help="these files alone (names without .cs)")
arguments.add_argument("--tests", nargs="+", help="tests of these folders too")
options = arguments.parse_args()

OUT = ROOT / "artifacts" / "mutation" / options.folder
shutil.rmtree(OUT, ignore_errors=True)
OUT.mkdir(parents=True)
(OUT / "Directory.Build.props").write_text(PROPS)
library, tests, at = ROOT / "src" / "Keyline", ROOT / "tests" / "Keyline.Tests", ORDER.index(options.folder)
packages = ["NetTopologySuite", "MathNet.Numerics"]
rooms = lambda names: [library / n for n in names]
copy(rooms(ORDER[:at]) + [f for f in sorted(library.glob("*.cs")) if f.name not in PLANNER],
     project("Before", [], packages, ["Looked", "After", "Keyline.Tests"]))
looked = project("Looked", ["Before"], packages, ["After", "Keyline.Tests"])
copy(rooms([options.folder]), looked)
copy(rooms(ORDER[at + 1:] + PLANNER), project("After", ["Before", "Looked"], packages, ["Keyline.Tests"]))
copy([tests / n for n in [options.folder, "Support"] + (options.tests or [])], project("Keyline.Tests", ["Before", "Looked", "After"], ["xunit.v3", "CsCheck"], [],
     "<PropertyGroup><OutputType>Exe</OutputType><IsTestProject>true</IsTestProject></PropertyGroup><ItemGroup><Using Include=\"Xunit\" /></ItemGroup>"))

files = sorted(p.relative_to(looked).as_posix() for p in (looked / options.folder).rglob("*.cs"))
if options.only:
    files = [f for f in files if pathlib.Path(f).stem in options.only]


def spans(file):
    """The lines looked at, as stryker takes them: "{from..to}" in characters; none for the whole file."""
    found, at = "", 0
    for number, line in enumerate((looked / file).read_text().splitlines(keepends=True)):
        found += f"{{{at}..{at + len(line)}}}" if options.every > 1 and number % options.every == 0 else ""
        at += len(line)
    return found


(OUT / "Keyline.Tests" / "stryker-config.json").write_text(json.dumps({"stryker-config": {
    "project": "Looked.csproj", "test-runner": "mtp", "configuration": "Release", "concurrency": 1, "coverage-analysis": "perTest",
    "mutate": ["**/" + f + spans(f) for f in files], "reporters": ["json", "dots"], "additional-timeout": 20000}}, indent=1))
run = subprocess.run(["dotnet", "stryker", "-O", str(OUT / "report")], cwd=OUT / "Keyline.Tests", env=dict(os.environ, NO_COLOR="1"))
report = OUT / "report" / "reports" / "mutation-report.json"
if run.returncode != 0 or not report.exists():
    sys.exit("stryker gave no report; what it said stands above.")

killed = lived = late = 0
for name, file in sorted(json.loads(report.read_text())["files"].items()):
    mutants = [m for m in file["mutants"] if m["status"] in ("Killed", "Timeout", "Survived", "NoCoverage")]
    left = [m for m in mutants if m["status"] in ("Survived", "NoCoverage")]
    if not mutants:
        continue
    killed, lived = killed + len(mutants) - len(left), lived + len(left)
    late += sum(m["status"] == "Timeout" for m in mutants)
    print(f"\n{pathlib.Path(name).name}: {len(mutants) - len(left)} of {len(mutants)} killed")
    source = file["source"].split("\n")
    for m in sorted(left, key=lambda m: (m["location"]["start"]["line"], m["location"]["start"]["column"])):
        start, end = m["location"]["start"], m["location"]["end"]
        old = source[start["line"] - 1][start["column"] - 1:end["column"] - 1 if end["line"] == start["line"] else None]
        print(f"  {start['line']:4} {'not run' if m['status'] == 'NoCoverage' else 'lived  '} {m['mutatorName']}: {old.strip()} -> {m.get('replacement', '').strip().splitlines()[0] if m.get('replacement', '').strip() else '(nothing)'}")
print(f"\n{options.folder}: {killed} of {killed + lived} mutants killed, {100.0 * killed / max(1, killed + lived):.1f} %; of those {late} by never coming to an end")
