using Keyline.Elevation;

namespace Keyline.Landform;

/// <summary>Kinds of land, by what a layout starts from.</summary>
public enum LandShapeKind
{
    /// <summary>Valleys with keypoints.</summary>
    Valleys,

    /// <summary>Valleys, but none with a keypoint.</summary>
    ValleysWithoutKeypoint,

    /// <summary>Nearly level ground.</summary>
    Plain,

    /// <summary>One slope that falls one way.</summary>
    Slope,

    /// <summary>A rise that falls away on all sides.</summary>
    Dome,

    /// <summary>Ground that falls one way and spreads as it falls.</summary>
    Fan,

    /// <summary>Ground that falls one way and draws together as it falls, with no floor to see.</summary>
    Hollow,

    /// <summary>None of these.</summary>
    Rolling,
}

/// <summary>What shape of land it is, and the figures that say so.</summary>
/// <param name="Kind">The kind.</param>
/// <param name="MeanSlope">Mean slope, percent.</param>
/// <param name="Relief">Highest less lowest, metres, the highest and lowest hundredth left out.</param>
/// <param name="FallDirection">Where the ground falls to on the whole, degrees clockwise from north; NaN where it falls all ways alike.</param>
/// <param name="OneWay">How much it falls one way: 1 all cells the same way, 0 all ways alike.</param>
/// <param name="Spreading">Share of the ground where contours bend outward, as on a ridge, less that where they bend inward.</param>
/// <remarks>
/// <para>Rules (ours; the limits are common practice, no source): plain below 0.5 % mean slope; then, where there is no valley, a
/// dome where OneWay is below 0.4 and most of the ground spreads; a fan or hollow where OneWay is 0.4 or more and Spreading beyond
/// half either way; one slope where OneWay is above 0.9; else rolling.</para>
/// <para>OneWay is the mean resultant length of the directions of fall (N. I. Fisher, Statistical Analysis of Circular Data,
/// 1993, section 2.3).</para>
/// </remarks>
public sealed record LandShape(LandShapeKind Kind, double MeanSlope, double Relief, double FallDirection, double OneWay, double Spreading)
{
    private const double PlainSlope = 0.5;
    private const double AllWays = 0.4;
    private const double OnlyOneWay = 0.9;
    private const double Mostly = 0.5;

    // Contours straighter than this bend neither way: a radius of 5 km.
    private const double Straight = 2e-4;

    internal static LandShape Read(ElevationGrid broad, GroundShape shape, int valleys, int keypoints, CancellationToken cancellationToken)
    {
        GridFrame f = broad.Frame;
        float[] z = broad.Array;
        double east = 0, north = 0, slopes = 0;
        long cells = 0, outward = 0, inward = 0, falling = 0;
        List<double> heights = [];
        for (int r = 1; r < f.Rows - 1; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 1; c < f.Columns - 1; c++)
            {
                int i = (r * f.Columns) + c;
                double x = (z[i + 1] - (double)z[i - 1]) / (2 * f.CellSize), y = (z[i - f.Columns] - (double)z[i + f.Columns]) / (2 * f.CellSize);
                double slope = Math.Sqrt((x * x) + (y * y));
                if (double.IsNaN(slope) || float.IsNaN(z[i]))
                {
                    continue;
                }

                heights.Add(z[i]);
                cells++;
                slopes += slope;
                if (slope > 0)
                {
                    falling++;
                    east -= x / slope;
                    north -= y / slope;
                }

                outward += shape.ContourCurvature.Array[i] < -Straight ? 1 : 0;
                inward += shape.ContourCurvature.Array[i] > Straight ? 1 : 0;
            }
        }

        if (cells == 0)
        {
            return new LandShape(LandShapeKind.Rolling, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);
        }

        double[] all = [.. heights];
        double mean = 100 * slopes / cells, relief = Quantiles.OfUnsorted(all, 0.99) - Quantiles.OfUnsorted(all, 0.01);
        double oneWay = falling == 0 ? 0 : Math.Sqrt((east * east) + (north * north)) / falling, spreading = (outward - inward) / (double)cells;
        double direction = oneWay < 0.05 ? double.NaN : ((Math.Atan2(east, north) * 180 / Math.PI) + 360) % 360;
        LandShapeKind kind = mean < PlainSlope ? LandShapeKind.Plain
            : keypoints > 0 ? LandShapeKind.Valleys
            : valleys > 0 ? LandShapeKind.ValleysWithoutKeypoint
            : oneWay < AllWays ? (spreading > Mostly ? LandShapeKind.Dome : LandShapeKind.Rolling)
            : spreading > Mostly ? LandShapeKind.Fan
            : spreading < -Mostly ? LandShapeKind.Hollow
            : oneWay > OnlyOneWay ? LandShapeKind.Slope
            : LandShapeKind.Rolling;
        return new LandShape(keypoints > 0 ? LandShapeKind.Valleys : kind, mean, relief, direction, oneWay, spreading);
    }
}
