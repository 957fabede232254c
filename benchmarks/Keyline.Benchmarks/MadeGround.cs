using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>Ground for measuring, the same for every run.</summary>
internal static class MadeGround
{
    // Of the noise of a lidar survey, metres.
    private const double NoiseDeviation = 0.04;

    /// <summary>Share of the cells that are missing, in round holes of 1 to 30 cells radius.</summary>
    public const double MissingShare = 0.02;

    private const int Octaves = 7;
    private const double CoarsestMetres = 640;

    /// <summary>Rolling farmland that drains: valleys and ridges down a gentle slope, humps and hollows, lidar noise. Filling
    /// raises about a tenth of it by a little.</summary>
    public static ElevationGrid Valleys(int side, bool holes = true, double cell = 1) => Make(side, holes, cell, (x, y) =>
    {
        double bend = 60 * Math.Sin(x / 410);
        double valley = 5 * Math.Sin((y + bend) / 75) * (1 + (0.3 * Math.Sin(x / 900)));
        return 900 - (0.02 * x) + valley + (0.01 * y) + (Hills(x, y, 160, 3) * 1.2);
    });

    /// <summary>Knolls and basins without an outlet: hard on filling, because lakes of many tiles come of it. A fifth of it
    /// lies under them.</summary>
    public static ElevationGrid Basins(int side, bool holes = true) =>
        Make(side, holes, 1, (x, y) => 300 + (0.02 * x) + (40 * Hills(x, y, CoarsestMetres, Octaves)));

    private static ElevationGrid Make(int side, bool holes, double cell, Func<double, double, double> height)
    {
        GridFrame frame = new(side, side, cell, 0, cell * side);
        float[] z = new float[checked(side * side)];
        Parallel.For(0, side, r =>
        {
            for (int c = 0; c < side; c++)
            {
                // Four even numbers make a bell that is near enough.
                double noise = Hash(r, c, 91) + Hash(r, c, 92) + Hash(r, c, 93) + Hash(r, c, 94);
                z[(r * side) + c] = (float)(height(frame.CentreX(c), frame.CentreY(r)) + (noise * NoiseDeviation / Math.Sqrt(4.0 / 3)));
            }
        });
        if (holes)
        {
            Punch(z, side);
        }

        return ElevationGrid.Copy(frame, z);
    }

    private static void Punch(float[] z, int side)
    {
        long left = (long)(MissingShare * z.Length);
        for (int hole = 0; left > 0; hole++)
        {
            int row = (int)((Hash(hole, 0, 95) + 1) / 2 * side);
            int column = (int)((Hash(hole, 1, 95) + 1) / 2 * side);
            int radius = 1 + (int)((Hash(hole, 2, 95) + 1) * 15);
            for (int r = Math.Max(row - radius, 0); r < Math.Min(row + radius, side); r++)
            {
                for (int c = Math.Max(column - radius, 0); c < Math.Min(column + radius, side); c++)
                {
                    int at = (r * side) + c;
                    if (((r - row) * (r - row)) + ((c - column) * (c - column)) < radius * radius && !float.IsNaN(z[at]))
                    {
                        z[at] = float.NaN;
                        left--;
                    }
                }
            }
        }
    }

    /// <summary>Hashed heights on finer and finer lattices, from about -1 to 1.</summary>
    private static double Hills(double x, double y, double coarsest, int octaves)
    {
        double height = 0;
        for (int octave = 0; octave < octaves; octave++)
        {
            double lattice = coarsest / (1 << octave);
            height += Lattice(x / lattice, y / lattice, 20 + (ulong)octave) / (1 << octave) / (1 + octave);
        }

        return height;
    }

    private static double Lattice(double x, double y, ulong seed)
    {
        int x0 = (int)Math.Floor(x);
        int y0 = (int)Math.Floor(y);
        double u = Ease(x - x0);
        double v = Ease(y - y0);
        double south = ((1 - u) * Hash(x0, y0, seed)) + (u * Hash(x0 + 1, y0, seed));
        double north = ((1 - u) * Hash(x0, y0 + 1, seed)) + (u * Hash(x0 + 1, y0 + 1, seed));
        return ((1 - v) * south) + (v * north);
    }

    private static double Ease(double t) => t * t * (3 - (2 * t));

    // SplitMix64 (Steele, Lea and Flood 2014), from -1 up to 1.
    private static double Hash(int x, int y, ulong seed)
    {
        ulong h = (seed * 0x9E3779B97F4A7C15) + (((ulong)(uint)x << 32) | (uint)y);
        h = (h ^ (h >> 30)) * 0xBF58476D1CE4E5B9;
        h = (h ^ (h >> 27)) * 0x94D049BB133111EB;
        h ^= h >> 31;
        return ((h >> 11) * (2.0 / (1UL << 53))) - 1;
    }
}
