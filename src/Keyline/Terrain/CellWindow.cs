using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>The nine heights around a cell, named a b c / d e f / g h i from the north-west, with missing ones made up.</summary>
/// <remarks>
/// A missing neighbour, and one beyond the edge, is mirrored through the centre from its opposite (2e less the opposite).
/// Where the opposite is missing too, a side neighbour takes the centre's height and a corner the plane through its two sides.
/// A plane therefore keeps its slope beside edges and holes, save where a cell is shut in from two opposite sides.
/// </remarks>
internal readonly record struct CellWindow(double A, double B, double C, double D, double E, double F, double G, double H, double I)
{
    /// <summary>Horn's eastward rise over one cell, times the cell size.</summary>
    public double HornEast => (C + (2 * F) + I - A - (2 * D) - G) / 8;

    /// <summary>Horn's northward rise over one cell, times the cell size.</summary>
    public double HornNorth => (A + (2 * B) + C - G - (2 * H) - I) / 8;

    /// <summary>Whether a neighbour was made up.</summary>
    public bool IsMended { get; private init; }

    /// <summary>Rises eastward and northward over one cell.</summary>
    public (double East, double North) Rise(SlopeMethod method) =>
        method == SlopeMethod.Horn ? (HornEast, HornNorth) : ((F - D) / 2, (B - H) / 2);

    /// <summary>Refuses a method there is not.</summary>
    public static void Check(SlopeMethod method)
    {
        if (method is not (SlopeMethod.Horn or SlopeMethod.ZevenbergenThorne))
        {
            throw new ArgumentOutOfRangeException(nameof(method), method, "There is no such slope method.");
        }
    }

    /// <summary>Reads a window. Every value is NaN where the centre is missing.</summary>
    public static CellWindow Read(ElevationGrid ground, int row, int column)
    {
        float[] z = ground.Array;
        int columns = ground.Frame.Columns;
        int at = (row * columns) + column;
        double e = z[at];
        if (double.IsNaN(e))
        {
            return new CellWindow(e, e, e, e, e, e, e, e, e);
        }

        bool north = row > 0;
        bool south = row < ground.Frame.Rows - 1;
        bool west = column > 0;
        bool east = column < columns - 1;
        double a = north && west ? z[at - columns - 1] : double.NaN;
        double b = north ? z[at - columns] : double.NaN;
        double c = north && east ? z[at - columns + 1] : double.NaN;
        double d = west ? z[at - 1] : double.NaN;
        double f = east ? z[at + 1] : double.NaN;
        double g = south && west ? z[at + columns - 1] : double.NaN;
        double h = south ? z[at + columns] : double.NaN;
        double i = south && east ? z[at + columns + 1] : double.NaN;
        bool mended = double.IsNaN(a + b + c + d + f + g + h + i);
        if (mended)
        {
            Mend(ref b, ref h, e, e, e);
            Mend(ref d, ref f, e, e, e);
            Mend(ref a, ref i, e, b + d - e, h + f - e);
            Mend(ref c, ref g, e, b + f - e, h + d - e);
        }

        return new CellWindow(a, b, c, d, e, f, g, h, i) { IsMended = mended };
    }

    private static void Mend(ref double one, ref double other, double centre, double oneElse, double otherElse)
    {
        if (double.IsNaN(one) && double.IsNaN(other))
        {
            one = oneElse;
            other = otherElse;
        }
        else if (double.IsNaN(one))
        {
            one = (2 * centre) - other;
        }
        else if (double.IsNaN(other))
        {
            other = (2 * centre) - one;
        }
    }
}
