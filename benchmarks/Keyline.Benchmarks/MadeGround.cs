using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>Rolling farmland with furrow-sized noise, the same for every run: hashed heights on coarser and coarser lattices.</summary>
internal static class MadeGround
{
    private const int Octaves = 7;
    private const double CoarsestMetres = 640;
    private const double CoarsestHeight = 40;

    public static ElevationGrid Make(int side, ulong seed = 20)
    {
        GridFrame frame = new(side, side, 2, 0, 2.0 * side);
        float[] z = new float[side * side];
        for (int r = 0; r < side; r++)
        {
            for (int c = 0; c < side; c++)
            {
                double height = 300 + (0.02 * frame.CentreX(c));
                for (int octave = 0; octave < Octaves; octave++)
                {
                    double lattice = CoarsestMetres / (1 << octave);
                    height += CoarsestHeight / (1 << octave) / (1 + octave) * Lattice(frame.CentreX(c) / lattice, frame.CentreY(r) / lattice, seed + (ulong)octave);
                }

                z[(r * side) + c] = (float)height;
            }
        }

        return ElevationGrid.Copy(frame, z);
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
