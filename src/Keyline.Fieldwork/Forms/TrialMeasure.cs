namespace Keyline.Fieldwork;

/// <summary>What is measured.</summary>
/// <remarks>Promises: a measure of one name always has one unit and scale. Source: ours.</remarks>
/// <param name="Id">Its name in files.</param>
/// <param name="Name">Its name for people, fit for the middle of a sentence.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="OnRatio">Whether it is compared as a ratio, through logarithms.</param>
/// <param name="Floor">Least value on the ratio scale: what cannot be told from nothing.</param>
public sealed record TrialMeasure(string Id, string Name, string Unit, bool OnRatio, double Floor = 0)
{
    private static readonly TrialMeasure[] Known =
    [
        new("infiltration", "infiltration", "mm/h", true, 0.1), new("infiltration-on-rip", "infiltration on the rip", "mm/h", true, 0.1),
        new("depth-to-2-mpa", "the depth to 2 MPa", "cm", false), new("depth-to-2-mpa-on-rip", "the depth to 2 MPa on the rip", "cm", false),
        new("obstruction", "visual obstruction", "cm", false), new("forage", "forage", "kg/ha", true, 1),
    ];

    /// <summary>The measure of a name.</summary>
    /// <param name="id">Its name in files.</param>
    /// <param name="unit">Its unit where it is a soil test.</param>
    public static TrialMeasure Of(string id, string unit = "")
    {
        ArgumentNullException.ThrowIfNull(id);
        return Known.FirstOrDefault(m => m.Id == id)
            ?? (id.StartsWith("cover-", StringComparison.Ordinal) ? new TrialMeasure(id, id[6..] + " cover", "%", false) : new TrialMeasure(id, id.Replace('-', ' '), unit, false));
    }

    /// <summary>A value on the scale it is compared on.</summary>
    /// <param name="value">As measured.</param>
    public double Scaled(double value) => OnRatio ? Math.Log(Math.Max(value, Floor)) : value;

    /// <summary>A value back from the scale.</summary>
    /// <param name="scaled">On the scale.</param>
    public double Unscaled(double scaled) => OnRatio ? Math.Exp(scaled) : scaled;
}

/// <summary>A value at a point.</summary>
/// <param name="Date">When.</param>
/// <param name="Plot">The plot, or part of one.</param>
/// <param name="Point">The point.</param>
/// <param name="Measure">What.</param>
/// <param name="Value">How much, in the measure's unit.</param>
public sealed record PlotReading(DateOnly Date, string Plot, string Point, TrialMeasure Measure, double Value);

/// <summary>What is to be said of a row, or of several.</summary>
/// <param name="File">The file.</param>
/// <param name="Line">Its line, from 1.</param>
/// <param name="Sentence">What, where, and how to mend it.</param>
/// <param name="IsSetAside">Whether it was left out of the results; the file keeps it.</param>
/// <param name="Row">The row as it stands.</param>
public sealed record FormFinding(string File, int Line, string Sentence, bool IsSetAside, string Row);

/// <summary>What the forms of a trial hold.</summary>
/// <param name="Readings">Values at points.</param>
/// <param name="Findings">What is to be said of rows.</param>
/// <param name="Rain">Rain by day, mm.</param>
/// <param name="Photos">Photos by day and point.</param>
/// <param name="Rows">Rows with something in them.</param>
public sealed record FormReadings(IReadOnlyList<PlotReading> Readings, IReadOnlyList<FormFinding> Findings, IReadOnlyList<(DateOnly Date, double Millimetres)> Rain, IReadOnlyList<(DateOnly Date, string Point, string Link)> Photos, int Rows);
