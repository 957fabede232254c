#!/usr/bin/env bash
# Measures everything in turn on this machine and prints docs/performance-figures.md.
# Usage: benchmarks/figures.sh [DEM FIELD [AVOID]]... >docs/performance-figures.md
# Needs a Release build of the solution and an idle machine; takes about ten minutes on two cores. GDAL's programs, python3 and GNU time are used
# where they are; what is absent is left out and said. KEYLINE names the program, where that is not the build's.
set -euo pipefail
cd "$(dirname "$0")/.."
bench() { dotnet benchmarks/Keyline.Benchmarks/bin/Release/net10.0/Keyline.Benchmarks.dll "$@"; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# A part: its heading, the command as a reader would give it, and what it prints, a table as it is and anything else between fences.
part() { # part HEADING COMMAND...
  local heading=$1
  shift
  printf '\n## %s\n\n' "$heading"
  # Whoever repeats it has the files elsewhere.
  printf '`%s`\n\n' "$(sed -E "s#$work#FOLDER#g; s# /[^ ]*/# #g" <<<"$*")"
  if "$@" >"$work/said" 2>&1; then
    if grep -q '^|' "$work/said"; then
      sed 's/^\([^|].*\)$/\1\n/' "$work/said"
    else
      printf '```\n'
      cat "$work/said"
      printf '```\n'
    fi
  else
    printf 'It failed:\n\n```\n'
    tail -3 "$work/said"
    printf '```\n'
  fi
  echo "measured: $heading" >&2
}
one() { taskset -c 1 dotnet benchmarks/Keyline.Benchmarks/bin/Release/net10.0/Keyline.Benchmarks.dll "$@"; }
batch() { # so many fields, whole: processor seconds and clock
  bench fields "$1" "$work/fields" >/dev/null
  local keyline=${KEYLINE:-dotnet src/Keyline.Console/bin/Release/net10.0/Keyline.Console.dll}
  /usr/bin/time -q -o "$work/time" -f '%e %U %S %M' $keyline batch --fields "$work/fields/fields.geojson" --dem "$work/fields/dem.tif" --spacing "3 m" --out "$work/batch" --quiet >/dev/null 2>&1 || [ $? -eq 3 ]
  awk -v n="$1" '{printf "%d fields of a hectare: %.0f s by the clock, %.0f s of processor, %.2f s a field, %.0f MB at most\n", n, $1, $2 + $3, ($2 + $3) / n, $4 / 1e3}' "$work/time"
}

load=$(cut -d' ' -f1 /proc/loadavg 2>/dev/null || echo unknown)
cat <<HEAD
# Performance: the figures

Made by \`benchmarks/figures.sh\` on $(date +%F): $(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -1), $(nproc) cores, $(lscpu | sed -n 's/^L2 cache: *//p') of second-level cache and $(lscpu | sed -n 's/^L3 cache: *//p') of third, \
.NET $(dotnet --version), $(gdalinfo --version 2>/dev/null | cut -d, -f1 || echo no GDAL), load $load when it began. What they mean, and what bounds them, stands in [performance](performance.md).
Absolute times hold on their machine only. The ground is generated; \`bench\` is the build's \`Keyline.Benchmarks\`, \`one\` the same on one core.
HEAD
part "Stages, 4000 x 4000 cells, one core" one stages 4000 valleys 5
part "Stages, 4000 x 4000 cells, all cores" bench stages 4000 valleys 5
part "Memory of the chain" bench memory 4000
part "Larger than memory" bench large 8000 "$work" 256 1
part "Landform, cells of 1 m" bench landform 2000 5 1
part "Landform, up to 64 square kilometres in cells of 4 m" bench landform 2000 5 4
part "Layout, to a checked plan" bench layout 1600 3
part "As driven" bench driven 2000 400 3
part "Soil" bench soil 5000 1000 1
part "Report of 64 ha" bench report 800 3 300
part "A storm on 9 ha" bench water 300 3
part "A storm on 64 ha" bench water 800 1
bench ground 4000 "$work/ground.tif" >/dev/null
part "Reading" bench read "$work/ground.tif" 9
rm -f "$work/ground.tif"
part "Whole programs and plans" benchmarks/end-to-end.sh 4000 "$@"
part "Many fields" batch 200
part "Growth" bench growth
