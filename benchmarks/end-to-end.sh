#!/usr/bin/env bash
# Whole programs on the same GeoTIFF, GDAL's beside ours, best of three. Usage: benchmarks/end-to-end.sh [SIDE]
# Needs a Release build of the solution and gdal-bin.
set -euo pipefail
cd "$(dirname "$0")/.."
side=${1:-4000}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
keyline="dotnet src/Keyline.Console/bin/Release/net10.0/Keyline.Console.dll"
dotnet benchmarks/Keyline.Benchmarks/bin/Release/net10.0/Keyline.Benchmarks.dll ground "$side" "$work/ground.tif"
best() { # best NAME COMMAND...
  local name=$1 least=999999
  shift
  for _ in 1 2 3; do
    rm -rf "$work/out"*
    local from=$(date +%s%N)
    "$@" >/dev/null 2>&1
    local took=$((($(date +%s%N) - from) / 1000000))
    [ "$took" -lt "$least" ] && least=$took
  done
  printf '%-58s %6d ms\n' "$name" "$least"
}
best "gdaldem slope -p, tiled and deflated" gdaldem slope -p "$work/ground.tif" "$work/out.tif" -q -co TILED=YES -co COMPRESS=DEFLATE -co PREDICTOR=3
best "gdaldem aspect, tiled and deflated" gdaldem aspect "$work/ground.tif" "$work/out.tif" -q -co TILED=YES -co COMPRESS=DEFLATE -co PREDICTOR=3
best "gdal_contour -i 5 to GeoJSON" gdal_contour -q -i 5 -a z -f GeoJSON "$work/ground.tif" "$work/out.geojson"
best "keyline terrain: nine rasters and contours at 5 m" $keyline terrain --dem "$work/ground.tif" --interval "5 m" --quiet --out "$work/out"
best "keyline drainage: filled, directions, area, order, lengths" $keyline drainage --dem "$work/ground.tif" --quiet --out "$work/out"
