namespace Keyline.Report;

/// <summary>Paper that sheets are printed on.</summary>
public enum SheetPaper
{
    /// <summary>210 x 297 mm (ISO 216).</summary>
    A4,

    /// <summary>8.5 x 11 inches (ANSI/ASME Y14.1, size A).</summary>
    Letter,
}

/// <summary>How map sheets are cut.</summary>
public sealed record SheetOptions
{
    /// <summary>Scales that a sheet may have, the largest first: denominators.</summary>
    public static IReadOnlyList<int> Scales { get; } = [500, 1000, 2000, 2500, 5000];

    /// <summary>Most sheets beside the overview that a scale is chosen for.</summary>
    public const int FewSheets = 6;

    /// <value>The paper. Default A4.</value>
    public SheetPaper Paper { get; init; } = SheetPaper.A4;

    /// <value>Denominator of the scale, one of <see cref="Scales"/>; null, the default, for the largest that needs at most <see cref="FewSheets"/> sheets, or failing that the smallest.</value>
    public int? Scale { get; init; }

    /// <value>Whether sheets lie across; null, the default, for the way round that needs fewer.</value>
    public bool? Landscape { get; init; }

    /// <value>What the sheets say beside what is in the plan. Its fineness is not used.</value>
    public PlanMapOptions Map { get; init; } = new();

    internal void Validate()
    {
        Map.Validate();
        if (Scale is { } scale && !Scales.Contains(scale))
        {
            throw new ArgumentOutOfRangeException(nameof(Scale), scale, "A sheet's scale is one of 1 : " + string.Join(", ", Scales) + ".");
        }
    }
}
