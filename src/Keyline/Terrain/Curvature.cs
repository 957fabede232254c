using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>How the ground bends, from the quadratic surface fitted to each cell and its eight neighbours.</summary>
/// <remarks>
/// <para>Units: 1 over metres. Positive where the ground bends like a dome: over a crest, along a ridge.</para>
/// <para>Missing: NaN where the height or one of the eight around it is missing, and one row and column along the edge: a
/// bend cannot be made up. Level ground has no direction of slope, so only <see cref="Mean"/> is given there.</para>
/// <para>Promises: exact on every quadratic surface; zero on a plane; plan and profile add up to twice the mean; the same
/// bits on any number of cores.</para>
/// <para>Cost: linear in cells; 4 bytes a cell.</para>
/// <para>Source: the least-squares quadratic of Evans 1980, Zeitschrift fuer Geomorphologie, Supplementband 36, 274-295;
/// the curvatures of Florinsky 2016, Digital Terrain Analysis in Soil Science and Geology, 2nd ed., ch. 2.</para>
/// </remarks>
public static class Curvature
{
    /// <summary>Bend of the ground's section along the slope. Positive where the ground steepens downhill.</summary>
    /// <param name="ground">Heights.</param>
    public static Grid<float> Profile(ElevationGrid ground) => Map(ground, static q => q.Profile);

    /// <summary>Bend of the ground's section across the slope, at right angles to the profile. Positive where water spreads.</summary>
    /// <param name="ground">Heights.</param>
    public static Grid<float> Plan(ElevationGrid ground) => Map(ground, static q => q.Plan);

    /// <summary>Bend of the contour line seen from above: 1 over its radius. Positive around a ridge, negative in a valley.</summary>
    /// <param name="ground">Heights.</param>
    public static Grid<float> Contour(ElevationGrid ground) => Map(ground, static q => q.Contour);

    /// <summary>The mean of the bends in any two directions at right angles.</summary>
    /// <param name="ground">Heights.</param>
    public static Grid<float> Mean(ElevationGrid ground) => Map(ground, static q => q.Mean);

    private static Grid<float> Map(ElevationGrid ground, Func<Quadratic, double> measure)
    {
        ArgumentNullException.ThrowIfNull(ground);
        double cell = ground.Frame.CellSize;
        return CellWindow.Map(ground, w => w.IsMended ? double.NaN : measure(new Quadratic(w, cell)));
    }

    /// <summary>First and second derivatives: p east, q north, r east-east, s east-north, t north-north.</summary>
    internal readonly struct Quadratic
    {
        private readonly double _p;
        private readonly double _q;
        private readonly double _r;
        private readonly double _s;
        private readonly double _t;

        public Quadratic(CellWindow w, double cell)
        {
            double square = cell * cell;
            _p = (w.C + w.F + w.I - w.A - w.D - w.G) / (6 * cell);
            _q = (w.A + w.B + w.C - w.G - w.H - w.I) / (6 * cell);
            _r = (w.A + w.C + w.D + w.F + w.G + w.I - (2 * (w.B + w.E + w.H))) / (3 * square);
            _t = (w.A + w.B + w.C + w.G + w.H + w.I - (2 * (w.D + w.E + w.F))) / (3 * square);
            _s = (w.C + w.G - w.A - w.I) / (4 * square);
        }

        public double Profile => -((_p * _p * _r) + (2 * _p * _q * _s) + (_q * _q * _t)) / (Slope2 * Tilt2 * Math.Sqrt(Tilt2));

        public double Plan => Across / (Slope2 * Math.Sqrt(Tilt2));

        public double Contour => Across / (Slope2 * Math.Sqrt(Slope2));

        public double Mean =>
            -(((1 + (_q * _q)) * _r) - (2 * _p * _q * _s) + ((1 + (_p * _p)) * _t)) / (2 * Tilt2 * Math.Sqrt(Tilt2));

        // NaN on level ground, where no direction is across or along the slope.
        private double Slope2 => (_p * _p) + (_q * _q) is > 0 and double slope ? slope : double.NaN;

        private double Tilt2 => 1 + (_p * _p) + (_q * _q);

        private double Across => -((_q * _q * _r) - (2 * _p * _q * _s) + (_p * _p * _t));
    }
}
