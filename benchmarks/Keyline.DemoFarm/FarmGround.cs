using Keyline.Elevation;

namespace Keyline.DemoFarm;

/// <summary>The ground of the demo farm, which is nowhere: three primary valleys between ridges, worked out by formula.</summary>
/// <remarks>
/// A main ridge runs along the north, a trunk valley along the south. Each valley falls steeply from the ridge to its
/// keypoint and gently below it; the ridges between fall evenly. Across the slope, height runs from valley floor to ridge
/// crest as half a cosine. The keypoints rise eastward with the main ridge. Heights are rounded to the centimetre and carry
/// 2 cm of noise from a hash of the cell's address, as a lidar grid would.
/// </remarks>
internal static class FarmGround
{
    public const double West = 512_000;
    public const double South = 4_286_000;
    public const int Epsg = 32614;
    private const int Columns = 620;
    private const int Rows = 520;
    private const double Noise = 0.02;

    // x of the valley floors and ridge crests at mid-slope, from west to east, and how far down each valley's keypoint lies.
    private static readonly double[] Valleys = [128, 318, 502];
    private static readonly double[] Ridges = [30, 222, 412, 598];
    private static readonly double[] Keypoints = [150, 130, 112];

    public static ElevationGrid Make()
    {
        GridFrame frame = new(Rows, Columns, 1, West, South + Rows);
        float[] heights = new float[Rows * Columns];
        for (int r = 0; r < Rows; r++)
        {
            for (int c = 0; c < Columns; c++)
            {
                double z = Height(c + 0.5, Rows - r - 0.5) + (Noise * Bell(r, c));
                heights[(r * Columns) + c] = (float)(Math.Round(z * 100) / 100);
            }
        }

        return ElevationGrid.Copy(frame, heights);
    }

    /// <summary>Height without noise at metres east and north of the south-west corner.</summary>
    private static double Height(double x, double y)
    {
        double down = 478 + (9 * Math.Sin(x / 95)) - y;
        double along = 231 + (0.013 * x);

        // North of the crest the ground falls away again.
        if (down < 0)
        {
            return along - (0.035 * SmoothAbove(-down, 25));
        }

        double wander = (11 * Math.Sin(y / 83)) + (0.06 * (y - 250));
        double u = x - wander;
        int right = 0;
        while (right < Ridges.Length && Ridges[right] <= u)
        {
            right++;
        }

        int valley = Math.Clamp(right - 1, 0, Valleys.Length - 1);
        double axis = Valleys[valley];
        double crest = u < axis ? Ridges[valley] : Ridges[valley + 1];
        double share = Math.Clamp((u - axis) / (crest - axis), 0, 1.15);
        double toCrest = 0.5 - (0.5 * Math.Cos(Math.PI * share));
        double floor = Floor(down, Keypoints[valley]);
        double crestFall = 0.0335 * SmoothAbove(down, 25);
        double z = along - floor + ((floor - crestFall) * toCrest);

        // The trunk valley along the south, and a creek bank that is too steep to work in the south-west.
        z += 0.05 * SmoothAbove(30 - y, 12);
        double bank = ((x - 118) * 0.6) + ((y - 96) * 0.8);
        z -= 5.5 / (1 + Math.Exp(bank / 6.5));
        return z + (0.10 * Math.Sin((x / 61) + (y / 77))) + (0.08 * Math.Sin((x / 43) - (y / 59)));
    }

    // Fall from the crest along a valley floor: 8.2 % to the keypoint, 2.4 % below, turning over some 25 m.
    private static double Floor(double down, double keypoint)
    {
        const double Above = 0.082;
        const double Below = 0.024;
        double start = SmoothAbove(down, 25);
        double beyond = SmoothAbove(down - keypoint, 14);
        return (Above * start) - ((Above - Below) * beyond);
    }

    // max(0, t) with its corner rounded over a length.
    private static double SmoothAbove(double t, double length) =>
        t > 12 * length ? t : length * Math.Log(1 + Math.Exp(t / length));

    // A standard normal value from the cell's address: the sum of twelve uniform hashes less six.
    private static double Bell(int row, int column)
    {
        double sum = -6;
        uint state = unchecked(((uint)row * 0x9E3779B1u) ^ ((uint)column * 0x85EBCA77u) ^ 0xC2B2AE3Du);
        for (int k = 0; k < 12; k++)
        {
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            uint mixed = unchecked((state ^ (state >> 15)) * 0x2C1B3C6Du);
            sum += (mixed ^ (mixed >> 12)) / 4294967296.0;
        }

        return sum;
    }
}
