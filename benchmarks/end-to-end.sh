#!/usr/bin/env bash
# Whole programs, GDAL's beside ours on the same GeoTIFF, then plans: medians of three of elapsed time, processor time and peak memory.
# Usage: benchmarks/end-to-end.sh [SIDE [DEM FIELD [AVOID]]...]
# Needs a Release build of the solution; gdal-bin, python3 and GNU time; what is absent is left out and said.
# KEYLINE names the program, where that is not the build's: a packed tool is compiled ahead and starts faster.
set -euo pipefail
cd "$(dirname "$0")/.."
side=${1:-4000}
[ $# -gt 0 ] && shift
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
keyline=${KEYLINE:-dotnet src/Keyline.Console/bin/Release/net10.0/Keyline.Console.dll}
median() { # median NAME COMMAND...
  local name=$1
  shift
  if ! command -v "$1" >/dev/null; then
    printf '| %s | not measured: no %s here | | |\n' "$name" "$1"
    return
  fi
  : >"$work/times"
  for _ in 1 2 3; do
    rm -rf "$work/out"*
    # A plan with findings leaves with 3.
    /usr/bin/time -q -o "$work/time" -f '%e %U %S %M' "$@" >/dev/null 2>&1 || [ $? -eq 3 ]
    cat "$work/time" >>"$work/times"
  done
  middle() { awk "$1" "$work/times" | sort -n | sed -n 2p; }
  printf '| %s | %.1f s | %.1f s | %.2f GB |\n' "$name" "$(middle '{print $1}')" "$(middle '{print $2 + $3}')" "$(middle '{print $4 / 1e6}')"
}
echo '| program | elapsed | processor | peak |'
echo '|---|---|---|---|'
if [ "$side" -gt 0 ]; then
  dotnet benchmarks/Keyline.Benchmarks/bin/Release/net10.0/Keyline.Benchmarks.dll ground "$side" "$work/ground.tif"
  packed=(-q -co TILED=YES -co COMPRESS=DEFLATE -co PREDICTOR=3)
  median '`gdaldem slope -p` (one raster)' gdaldem slope -p "$work/ground.tif" "$work/out.tif" "${packed[@]}"
  median '`gdaldem aspect` (one raster)' gdaldem aspect "$work/ground.tif" "$work/out.tif" "${packed[@]}"
  median '`gdal_contour -i 5` to GeoJSON' gdal_contour -q -i 5 -a z -f GeoJSON "$work/ground.tif" "$work/out.geojson"
  median '`keyline terrain` (nine rasters and contours)' $keyline terrain --dem "$work/ground.tif" --interval "5 m" --quiet --out "$work/out"
  median '`keyline terrain --only slope,contours`' $keyline terrain --dem "$work/ground.tif" --interval "5 m" --only slope,contours --quiet --out "$work/out"
  median '`keyline drainage` (filled, directions, area, order, lengths, hollows)' $keyline drainage --dem "$work/ground.tif" --quiet --out "$work/out"
fi
farm=testdata/farms/three-hollows
median '`keyline plan`, demo farm, 18 ha' $keyline plan --dem $farm/dem.tif --field $farm/field.geojson --avoid $farm/avoid.geojson --spacing "10 ft" --quiet --out "$work/out"
while [ $# -ge 2 ]; do
  dem=$1 field=$2 avoid=()
  shift 2
  if [ $# -gt 0 ] && [[ $1 == *avoid* ]]; then
    avoid=(--avoid "$1")
    shift
  fi
  median "\`keyline plan\`, $(basename "$field" .field.geojson)" $keyline plan --dem "$dem" --field "$field" "${avoid[@]}" --spacing "10 ft" --quiet --out "$work/out"
done
