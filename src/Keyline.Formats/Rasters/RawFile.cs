using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>An elevation file whose header has been read, and whose heights are read a window at a time.</summary>
/// <remarks>Used by one thread at a time.</remarks>
internal abstract class RawFile : IDisposable
{
    /// <summary>Name for messages.</summary>
    public required string Name { get; init; }

    public required int Rows { get; init; }

    public required int Columns { get; init; }

    /// <summary>Where the cells lie.</summary>
    public required CellMapping Mapping { get; init; }

    /// <summary>System of the coordinates.</summary>
    public required GroundCrs Crs { get; init; }

    /// <summary>What was assumed or changed.</summary>
    public required List<string> Notes { get; init; }

    /// <summary>Reads heights in metres, row after row as stored; NaN for missing.</summary>
    /// <exception cref="InvalidDataException">The heights are damaged.</exception>
    /// <exception cref="GroundDataException">They cannot be used.</exception>
    public abstract float[] Read(CellRange range, CancellationToken cancellationToken);

    /// <summary>What is closed with it: the stream, where it was opened for this.</summary>
    public Stream? Owned { get; set; }

    /// <summary>What its heights are counted from, as far as it says.</summary>
    public string? VerticalDatum { get; init; }

    /// <summary>The surface its heights are of, where they are of survey shots.</summary>
    public SurveySurface? Survey { get; init; }

    /// <summary>All of it.</summary>
    public CellRange Whole => new(0, 0, Rows, Columns);

    /// <summary>Reads a window with its place.</summary>
    public RawGround Cut(CellRange range, CancellationToken cancellationToken) => new()
    {
        Rows = range.Rows,
        Columns = range.Columns,
        Heights = Read(range, cancellationToken),
        Mapping = Mapping.From(range.Column, range.Row),
        Crs = Crs,
        Notes = [.. Notes],
    };

    /// <inheritdoc/>
    public void Dispose() => Owned?.Dispose();
}

/// <summary>Heights of a file that had to be read whole to know its size.</summary>
internal sealed class HeldFile : RawFile
{
    public required float[] Heights { get; init; }

    public override float[] Read(CellRange range, CancellationToken cancellationToken)
    {
        if (range == Whole)
        {
            return Heights;
        }

        float[] window = new float[range.CellCount];
        for (int r = 0; r < range.Rows; r++)
        {
            Heights.AsSpan(((range.Row + r) * Columns) + range.Column, range.Columns).CopyTo(window.AsSpan(r * range.Columns));
        }

        return window;
    }
}
