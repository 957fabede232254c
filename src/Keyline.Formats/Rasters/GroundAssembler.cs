using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Puts heights on square cells of a projected system in metres.</summary>
/// <remarks>
/// <para>Missing: a new cell is missing where one of the four cells around its centre that carry weight is missing.</para>
/// <para>Promises: square upright cells are copied as they are, turned north-up where the file is south-up. All else (degrees,
/// oblong or rotated cells, a projection whose metres are not ground metres) is resampled by bilinear interpolation onto
/// cells no larger than the file's, and a note says so.</para>
/// <para>Cost: proportional to the cells.</para>
/// </remarks>
internal static class GroundAssembler
{
    // Metres of the grid may differ from metres on the ground by this share before the grid is resampled.
    internal const double MostScaleError = 0.005;
    private const double NoteScaleError = 0.001;

    // There and back again through a projection, metres.
    private const double MostReturnError = 0.01;

    // Further than any sea floor and any summit, metres.
    private const float LowestLand = -12_000f;
    private const float HighestLand = 9_000f;

    public static ElevationSource Finish(RawGround raw, string name, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        CellMapping map = raw.Mapping;
        if (!map.IsFinite || map.Determinant == 0)
        {
            throw new GroundDataException($"{name}: the size of its cells is 0 or not a number, so it lies nowhere; export the elevation again with its georeference.");
        }

        ElevationGrid grid;
        GroundCrs crs = raw.Crs;
        double scale = crs.IsGeographic ? double.NaN : GridScale(crs, raw);
        if (!crs.IsGeographic && (!double.IsFinite(scale) || !ComesBack(crs, raw)))
        {
            throw new GroundDataException($"{name}: its place lies outside where {crs.Name} can be used; check its coordinates and its coordinate system.");
        }

        if (!crs.IsGeographic && Math.Abs(scale - 1) <= MostScaleError && IsSquare(raw))
        {
            grid = Upright(raw);
        }
        else
        {
            string why = crs.IsGeographic ? "its coordinates are degrees"
                : Math.Abs(scale - 1) > MostScaleError ? FormattableString.Invariant($"a metre of {crs.Name} is {1 / scale:F3} m on the ground there")
                : map.IsUpright ? FormattableString.Invariant($"its cells are {Math.Abs(map.A):0.######} by {Math.Abs(map.D):0.######} m")
                : "its rows do not run east and west";
            (grid, crs) = GroundResampler.Resample(raw, scale, name, options.MaximumCells, cancellationToken);
            raw.Notes.Add(FormattableString.Invariant($"Heights were resampled (bilinear) to square cells of {grid.Frame.CellSize:0.####} m in {crs.Name}, because {why}."));
            scale = GridScale(crs, grid);
        }

        if (Math.Abs(scale - 1) > NoteScaleError)
        {
            raw.Notes.Add(FormattableString.Invariant($"A metre of {crs.Name} is {1 / scale:F4} m on the ground there; lengths and spacings are metres of the grid."));
        }

        CheckHeights(grid, name, raw.Notes);
        return new ElevationSource(name, grid, crs, raw.Notes);
    }

    private static void CheckHeights(ElevationGrid grid, string name, List<string> notes)
    {
        float least = float.PositiveInfinity, most = float.NegativeInfinity;
        long valid = 0, wild = 0;
        foreach (float z in grid.Heights)
        {
            // No comparison with a missing height holds.
            least = z < least ? z : least;
            most = z > most ? z : most;
            valid += z <= float.MaxValue ? 1 : 0;
        }

        if (least < LowestLand || most > HighestLand)
        {
            foreach (float z in grid.Heights)
            {
                wild += z is < LowestLand or > HighestLand ? 1 : 0;
            }
        }

        if (valid == 0)
        {
            throw new GroundDataException($"{name}: all of its heights are missing; export the elevation again over the field.");
        }

        if (least == most)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: all of its heights are {least:0.###} m, so no water runs anywhere and no line can be laid out; check that the right band was exported."));
        }

        if (wild > 0)
        {
            notes.Add(FormattableString.Invariant($"{wild} {(wild == 1 ? "height is" : "heights are")} below -12000 m or above 9000 m, which no land is; heights run from {least:0.##} to {most:0.##} m."));
        }
    }

    private static bool IsSquare(RawGround raw)
    {
        CellMapping map = raw.Mapping;
        double drift = Math.Abs(Math.Abs(map.A) - Math.Abs(map.D)) * Math.Max(raw.Rows, raw.Columns);
        return map.IsUpright && map.A > 0 && drift < 0.01 * map.A;
    }

    private static ElevationGrid Upright(RawGround raw)
    {
        CellMapping map = raw.Mapping;
        float[] heights = raw.Heights;
        double north = map.Y;
        if (map.D > 0)
        {
            for (int r = 0; r < raw.Rows / 2; r++)
            {
                Span<float> top = heights.AsSpan(r * raw.Columns, raw.Columns);
                Span<float> bottom = heights.AsSpan((raw.Rows - 1 - r) * raw.Columns, raw.Columns);
                for (int c = 0; c < top.Length; c++)
                {
                    (top[c], bottom[c]) = (bottom[c], top[c]);
                }
            }

            north = map.Y + (map.D * raw.Rows);
            raw.Notes.Add("The file stores its southernmost row first; rows were turned to run from the north.");
        }

        return ElevationGrid.TakeOver(new GridFrame(raw.Rows, raw.Columns, map.A, map.X, north), heights);
    }

    // A projection used far outside its area does not return to where it came from.
    private static bool ComesBack(GroundCrs crs, RawGround raw)
    {
        (double x, double y) = raw.Mapping.At(raw.Columns / 2.0, raw.Rows / 2.0);
        (double lon, double lat) = crs.ToLonLat(x, y);
        (double backX, double backY) = crs.FromLonLat(lon, lat);
        return Math.Abs(backX - x) < MostReturnError && Math.Abs(backY - y) < MostReturnError;
    }

    private static double GridScale(GroundCrs crs, RawGround raw)
    {
        (double x, double y) = raw.Mapping.At(raw.Columns / 2.0, raw.Rows / 2.0);
        return GroundScale.At(crs, x, y);
    }

    private static double GridScale(GroundCrs crs, ElevationGrid grid) =>
        GroundScale.At(crs, (grid.Frame.West + grid.Frame.East) / 2, (grid.Frame.South + grid.Frame.North) / 2);
}

/// <summary>Metres of the grid for one metre on the ground.</summary>
internal static class GroundScale
{
    /// <summary>The larger departure from 1 of the two axes; NaN where the projection does not reach.</summary>
    /// <remarks>Measured over 100 m with the ellipsoid's radii of curvature (WGS 84), good to 1e-5.</remarks>
    public static double At(GroundCrs crs, double x, double y)
    {
        const double step = 100.0;
        (double lonEast, double latEast) = crs.ToLonLat(x + step, y);
        (double lonWest, double latWest) = crs.ToLonLat(x - step, y);
        (double lonNorth, double latNorth) = crs.ToLonLat(x, y + step);
        (double lonSouth, double latSouth) = crs.ToLonLat(x, y - step);
        double across = 2 * step / Distance(lonEast, latEast, lonWest, latWest);
        double along = 2 * step / Distance(lonNorth, latNorth, lonSouth, latSouth);
        return Math.Abs(across - 1) > Math.Abs(along - 1) || double.IsNaN(across) ? across : along;
    }

    /// <summary>Short distance on the WGS 84 ellipsoid, metres.</summary>
    public static double Distance(double lon1, double lat1, double lon2, double lat2)
    {
        (double east, double north) = MetresPerDegree((lat1 + lat2) / 2);
        double dx = Math.IEEERemainder(lon1 - lon2, 360) * east;
        double dy = (lat1 - lat2) * north;
        return Math.Sqrt((dx * dx) + (dy * dy));
    }

    /// <summary>Metres in one degree of longitude and of latitude (Snyder, USGS Professional Paper 1395, 1987, equations 4-19 and 4-20).</summary>
    public static (double East, double North) MetresPerDegree(double latitude)
    {
        const double a = 6378137.0, e2 = 0.0066943799901413165;
        (double sin, double cos) = Math.SinCos(latitude * Math.PI / 180);
        double w = 1 - (e2 * sin * sin);
        return (a * cos / Math.Sqrt(w) * Math.PI / 180, a * (1 - e2) / (w * Math.Sqrt(w)) * Math.PI / 180);
    }
}
