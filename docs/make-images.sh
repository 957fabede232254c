#!/usr/bin/env bash
# Makes docs/images from the demo, in true colour: the map, shrunk to 1080 dots across (about a megabyte; a front page shows no more), and a page of the set-out sheet.
# Needs the .NET SDK, Debian's chromium and python3. Run it when the map or the sheet looks different, look at the pictures, commit them.
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
keyline() { dotnet run -c Release --project src/Keyline.Console -- "$@" >"$work/said" || [ $? -eq 3 ]; }
picture() { # picture PAGE WIDTH HEIGHT PNG: what a browser shows of a page
  chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --force-device-scale-factor=1 --user-data-dir="$work/browser" --window-size="$2,$3" --screenshot="$4" "file://$1" >"$work/said" 2>&1
}

keyline demo --out "$work/demo"
keyline setout "$work/demo" --dem testdata/farms/three-hollows/dem.tif --benchmark "228.9 m" --bench-reading "1.35 m" --every 10 --out "$work/setout"
cat >"$work/map.html" <<'H'
<!DOCTYPE html><style>body { margin: 0 } img { display: block; width: 1080px; height: auto }</style><img src="demo/plan.png">
H
picture "$work/map.html" 1080 764 "$PWD/docs/images/plan.png"

# The report's head and map, as a reader in the USA finds them.
python3 - "$work/demo/report.html" "$work/report.html" <<'P'
import re, sys
page = open(sys.argv[1], encoding="utf-8").read()
open(sys.argv[2], "w", encoding="utf-8").write(re.sub(r'<section id="answer".*?</section>\n', "", page, flags=re.S))
P
picture "$work/report.html" 1280 1000 "$PWD/docs/images/report.png"

# The page of the first line with two set-ups or more, as it is printed.
python3 - "$work/setout/setout.html" "$work/page.html" <<'P'
import re, sys
sheet = open(sys.argv[1], encoding="utf-8").read()
head = sheet[:sheet.index("<body>")]
hatch = re.search(r"<pattern id=\"hatch\".*?</pattern>", sheet, re.S).group(0)
pages = re.findall(r"<section>.*?</section>", sheet, re.S)
page = next((p for p in pages if p.count("tr class=\"setup\"") >= 2), pages[0])
look = "<style>body { padding: 8mm !important } section { border: 0 !important; margin: 0 !important; padding: 0 !important }</style>"
open(sys.argv[2], "w", encoding="utf-8").write("%s%s<body><svg style=\"position: absolute; width: 0; height: 0\"><defs>%s</defs></svg>%s</body></html>" % (head, look, hatch, page))
P
picture "$work/page.html" 780 1020 "$PWD/docs/images/setout.png"

python3 - docs/images/plan.png docs/images/report.png docs/images/setout.png <<'P'
import os, struct, sys
for path in sys.argv[1:]:
    with open(path, "rb") as file:
        head = file.read(26)
    width, height, depth, kind = struct.unpack(">IIBB", head[16:26])
    size = os.path.getsize(path)
    print("%s: %d x %d, %d bytes" % (path, width, height, size))
    assert depth == 8 and kind in (2, 6), path + " is not in true colour"
    assert 20_000 < size < 1_050_000, path + " is empty or too large"
P
