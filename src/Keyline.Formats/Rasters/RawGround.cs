namespace Keyline.Formats;

/// <summary>Heights as a file holds them, before they are put on square metric cells.</summary>
internal sealed class RawGround
{
    public required int Rows { get; init; }

    public required int Columns { get; init; }

    /// <summary>Heights in metres, row after row as stored; NaN for missing.</summary>
    public required float[] Heights { get; init; }

    /// <summary>Where the cells lie.</summary>
    public required CellMapping Mapping { get; init; }

    /// <summary>System of the coordinates.</summary>
    public required GroundCrs Crs { get; init; }

    public required List<string> Notes { get; init; }
}

/// <summary>From column and row of a cell's corner to coordinates: x = X + A * column + B * row, y = Y + C * column + D * row.</summary>
/// <remarks>Coordinates are metres of the projected system, or degrees of a geographic one.</remarks>
internal readonly record struct CellMapping(double X, double A, double B, double Y, double C, double D)
{
    /// <summary>Signed area of a cell; 0 where the cells have collapsed.</summary>
    public double Determinant => (A * D) - (B * C);

    public bool IsUpright => B == 0 && C == 0;

    public bool IsFinite => double.IsFinite(X) && double.IsFinite(Y) && double.IsFinite(A) && double.IsFinite(B) && double.IsFinite(C) && double.IsFinite(D);

    public (double X, double Y) At(double column, double row) => (X + (A * column) + (B * row), Y + (C * column) + (D * row));

    public (double Column, double Row) Of(double x, double y)
    {
        double dx = x - X, dy = y - Y, det = Determinant;
        return (((D * dx) - (B * dy)) / det, ((A * dy) - (C * dx)) / det);
    }

    /// <summary>The mapping of a window that begins at a cell.</summary>
    public CellMapping From(int column, int row)
    {
        (double x, double y) = At(column, row);
        return this with { X = x, Y = y };
    }

    public CellMapping Times(double unit) => new(X * unit, A * unit, B * unit, Y * unit, C * unit, D * unit);

    /// <summary>The mapping of corners where this one was given for centres.</summary>
    public CellMapping FromCentres()
    {
        (double x, double y) = At(-0.5, -0.5);
        return this with { X = x, Y = y };
    }
}
