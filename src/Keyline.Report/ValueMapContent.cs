using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>What a map of one quantity over a field shows and says.</summary>
public sealed record ValueMapContent
{
    /// <value>What stands on top.</value>
    public required string Title { get; init; }

    /// <value>Lines below the title.</value>
    public IReadOnlyList<string> Subtitle { get; init; } = [];

    /// <value>What the values are, over the legend.</value>
    public required string Quantity { get; init; }

    /// <value>The values, SI; NaN stays white.</value>
    public required Grid<float> Values { get; init; }

    /// <value>Bounds between classes, SI, growing; one class more than there are bounds.</value>
    public required IReadOnlyList<double> Bounds { get; init; }

    /// <value>Whether values below 0 are of the other kind, as losses beside gains; 0 must be no bound then, or the middle one. Default false.</value>
    public bool Diverges { get; init; }

    /// <value>What kind of quantity it is, for its unit.</value>
    public UnitKind Unit { get; init; } = UnitKind.WaterDepth;

    /// <value>Units of the text. Default metric.</value>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <value>Language of what stands on the map, one of <see cref="PageTongue.Languages"/>. Default en. Names and what is not known stay as they are.</value>
    public string Language { get; init; } = "en";

    /// <value>The field, in the grid's coordinates.</value>
    public required Geometry Field { get; init; }

    /// <value>Ground for contours; null for none.</value>
    public ElevationGrid? Ground { get; init; }

    /// <value>Lines over the map.</value>
    public IReadOnlyList<LineString> Lines { get; init; } = [];

    /// <value>What the lines are, for the legend.</value>
    public string LineName { get; init; } = "Rip line";

    /// <value>Named places: outlets, dams, gully heads.</value>
    public IReadOnlyList<(string Name, Geometry Shape)> Places { get; init; } = [];

    /// <value>Places to be seen at once: where something is wrong.</value>
    public IReadOnlyList<Coordinate> Marks { get; init; } = [];

    /// <value>What they are, for the legend.</value>
    public string MarkName { get; init; } = "Finding";

    /// <value>Figures with their names, one a row.</value>
    public IReadOnlyList<(string Name, string Value)> Figures { get; init; } = [];

    /// <value>Sentences below the scale.</value>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <value>Where true north lies from grid north, degrees, clockwise above 0; NaN, the default, where it is not known.</value>
    public double TrueNorth { get; init; } = double.NaN;

    /// <summary>Checks what can be wrong.</summary>
    /// <exception cref="ArgumentException">Bounds that do not grow, or none.</exception>
    internal void Validate()
    {
        if (Bounds.Count == 0 || Bounds.Any(b => !double.IsFinite(b)) || Bounds.Zip(Bounds.Skip(1)).Any(p => p.First >= p.Second))
        {
            throw new ArgumentException("The bounds between classes must be finite and grow.", nameof(Bounds));
        }
    }
}
