using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Resamples heights onto square upright cells of a projected system.</summary>
/// <remarks>
/// <para>The system is the file's own where its metres are ground metres; else the UTM zone of the file's middle.</para>
/// <para>Cells take the smaller side of the file's cells, rounded to three digits, so that no detail is lost.</para>
/// </remarks>
internal static class GroundResampler
{
    // Beyond this distance from the middle a UTM zone's metres leave ground metres by more than half a percent.
    private const double MostDegreesWide = 12.0;

    public static (ElevationGrid Grid, GroundCrs Crs) Resample(RawGround raw, double scale, string name, long maximumCells, CancellationToken cancellationToken)
    {
        CellMapping map = raw.Mapping;
        GroundCrs from = raw.Crs;
        bool own = !from.IsGeographic && Math.Abs(scale - 1) <= 0.005;
        (double x, double y) middle = map.At(raw.Columns / 2.0, raw.Rows / 2.0);
        (double midLon, double midLat) = from.ToLonLat(middle.x, middle.y);
        if (!own && !(midLat is >= -80 and <= 84))
        {
            throw new GroundDataException($"{name}: its coordinates are not longitudes and latitudes of farmland; check its coordinate system.");
        }

        GroundCrs to = own ? from : GroundCrs.UtmAt(midLon, midLat);
        double side = CellSide(raw, from, own, midLat, middle);
        (double west, double south, double east, double north) = Extent(raw, from, to, own, name);
        double rows = Math.Ceiling(((north - south) / side) - 1e-6), columns = Math.Ceiling(((east - west) / side) - 1e-6);
        if (!(rows >= 1 && columns >= 1) || rows * columns > maximumCells)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"{name}: on square cells of {side:0.###} m it would have {rows:0} x {columns:0} cells, more than the {maximumCells} that are read at once; cut it to the farm."));
        }

        GridFrame frame = new((int)rows, (int)columns, side, west, north);
        float[] heights = new float[frame.CellCount];
        (double X, double Y) Source(double px, double py)
        {
            if (!own)
            {
                (double lon, double lat) = to.ToLonLat(px, py);
                (px, py) = from.FromLonLat(lon, lat);
                px = from.IsGeographic ? middle.x + Math.IEEERemainder(px - middle.x, 360) : px;
            }

            (double column, double row) = map.Of(px, py);
            return (column - 0.5, row - 0.5);
        }

        PlaceLattice places = new(frame, Source);
        Parallel.For(0, places.BlocksDown, WorkThreads.Options(cancellationToken), blockRow =>
        {
            (double X, double Y)[] band = places.Band(blockRow);
            for (int i = 0; i < band.Length; i++)
            {
                heights[(blockRow * PlaceLattice.Side * frame.Columns) + i] = Bilinear(raw, band[i].X, band[i].Y);
            }
        });

        return (ElevationGrid.TakeOver(frame, heights), to);
    }

    private static double CellSide(RawGround raw, GroundCrs from, bool own, double latitude, (double X, double Y) middle)
    {
        CellMapping map = raw.Mapping;
        double acrossX = map.A, acrossY = map.C, downX = map.B, downY = map.D;
        if (from.IsGeographic)
        {
            (double east, double north) = GroundScale.MetresPerDegree(latitude);
            (acrossX, downX, acrossY, downY) = (acrossX * east, downX * east, acrossY * north, downY * north);
        }

        double side = Math.Min(Math.Sqrt((acrossX * acrossX) + (acrossY * acrossY)), Math.Sqrt((downX * downX) + (downY * downY)));
        if (!own && !from.IsGeographic)
        {
            side /= GroundScale.At(from, middle.X, middle.Y);
        }

        double digit = Math.Pow(10, Math.Floor(Math.Log10(side)) - 2);
        return Math.Round(side / digit) * digit;
    }

    private static (double West, double South, double East, double North) Extent(RawGround raw, GroundCrs from, GroundCrs to, bool own, string name)
    {
        const int steps = 16;
        double west = double.PositiveInfinity, south = west, east = double.NegativeInfinity, north = east;
        (double middleLon, _) = from.ToLonLat(raw.Mapping.At(raw.Columns / 2.0, raw.Rows / 2.0).X, raw.Mapping.At(raw.Columns / 2.0, raw.Rows / 2.0).Y);
        for (int i = 0; i <= steps; i++)
        {
            double u = raw.Columns * (double)i / steps, v = raw.Rows * (double)i / steps;
            foreach ((double column, double row) in new[] { (u, 0.0), (u, raw.Rows), (0.0, v), (raw.Columns, v) })
            {
                (double x, double y) = raw.Mapping.At(column, row);
                if (!own)
                {
                    (double lon, double lat) = from.ToLonLat(x, y);
                    if (!(Math.Abs(Math.IEEERemainder(lon - middleLon, 360)) <= MostDegreesWide / 2) || !(lat is >= -80 and <= 84))
                    {
                        throw new GroundDataException($"{name}: it spans more ground than one UTM zone can show, or its coordinates are not longitudes and latitudes; cut it to the farm.");
                    }

                    (x, y) = to.FromLonLat(lon, lat);
                }

                west = Math.Min(west, x);
                east = Math.Max(east, x);
                south = Math.Min(south, y);
                north = Math.Max(north, y);
            }
        }

        return (west, south, east, north);
    }

    // Column and row count from the centre of the first cell.
    public static float Bilinear(RawGround raw, double column, double row)
    {
        if (!(column >= -0.5 && column <= raw.Columns - 0.5 && row >= -0.5 && row <= raw.Rows - 0.5))
        {
            return float.NaN;
        }

        column = Math.Clamp(column, 0, raw.Columns - 1);
        row = Math.Clamp(row, 0, raw.Rows - 1);
        int c = (int)column, r = (int)row;
        double right = column - c, down = row - r;

        // A neighbour whose weight is nothing must not matter, even where it is missing.
        right = right < 1e-9 ? 0 : right > 1 - 1e-9 ? 1 : right;
        down = down < 1e-9 ? 0 : down > 1 - 1e-9 ? 1 : down;
        return (float)Blend(Along(raw, r, c, right, down < 1), Along(raw, r + 1, c, right, down > 0), down);
    }

    private static double Along(RawGround raw, int row, int column, double right, bool wanted)
    {
        if (!wanted)
        {
            return double.NaN;
        }

        int at = (row * raw.Columns) + column;
        return Blend(right < 1 ? raw.Heights[at] : double.NaN, right > 0 ? raw.Heights[at + 1] : double.NaN, right);
    }

    private static double Blend(double first, double second, double share) =>
        share == 0 ? first : share == 1 ? second : first + (share * (second - first));
}
