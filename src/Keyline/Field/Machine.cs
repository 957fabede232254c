namespace Keyline.Field;

/// <summary>The machine that does the work: a tractor with its implement, how fast, and what it costs.</summary>
/// <remarks>Units: metres, metres a second, degrees. The default speeds and side slope are common practice, no source; the manual rules.</remarks>
public sealed record Machine
{
    /// <value>What to call it; may be empty.</value>
    public string Name { get; init; } = "";

    /// <value>The tractor.</value>
    public required Tractor Tractor { get; init; }

    /// <value>The implement.</value>
    public required Implement Implement { get; init; }

    /// <value>Slowest working speed, metres a second. Default 0.83 (3 km/h).</value>
    public double SlowestSpeed { get; init; } = 3 / 3.6;

    /// <value>Fastest working speed, metres a second. Default 1.67 (6 km/h).</value>
    public double FastestSpeed { get; init; } = 6 / 3.6;

    /// <value>Speed in a turn with the implement lifted, metres a second. Default 1.39 (5 km/h).</value>
    public double TurningSpeed { get; init; } = 5 / 3.6;

    /// <value>Speed backward, metres a second. Default 0.83 (3 km/h).</value>
    public double ReversingSpeed { get; init; } = 3 / 3.6;

    /// <value>Steepest side slope that its manual allows, degrees. Default 15; the manual rules.</value>
    public double MaximumSideSlope { get; init; } = 15;

    /// <value>What it costs; null where no cost is wanted.</value>
    public MachinePrices? Prices { get; init; }

    /// <summary>Distance between passes that leaves even rips, metres: the shanks times their spacing; NaN for one shank.</summary>
    public double PassSpacing => Implement.Shanks > 1 ? Implement.Shanks * Implement.ShankSpacing : double.NaN;

    /// <summary>From the middle of the rear axle back to the shanks, metres.</summary>
    public double AxleToShank => Tractor.HitchLength + Implement.HitchToShank;

    /// <summary>Checks every value, and values against each other.</summary>
    /// <exception cref="ArgumentException">The machine is not possible; the message says why, in one sentence for whoever described it.</exception>
    public void Validate()
    {
        string? fault = Tractor.Fault() ?? Implement.Fault() ?? Prices?.Fault()
            ?? (!(SlowestSpeed > 0 && FastestSpeed >= SlowestSpeed && FastestSpeed <= 20 / 3.6)
                ? FormattableString.Invariant($"Working speeds from {SlowestSpeed * 3.6:0.##} to {FastestSpeed * 3.6:0.##} km/h cannot be planned for: give the slowest above 0 and the fastest up to 20 km/h, in that order.")
                : !(TurningSpeed > 0 && TurningSpeed <= 40 / 3.6) || !(ReversingSpeed > 0 && ReversingSpeed <= 20 / 3.6)
                ? "The speeds in a turn must be above 0, up to 40 km/h forward and 20 km/h backward."
                : !(MaximumSideSlope > 0 && MaximumSideSlope < 45)
                ? FormattableString.Invariant($"A side slope of {MaximumSideSlope:0.#} degrees cannot be planned for: give the limit of the machine's manual, above 0 and below 45 degrees.")
                : null);
        if (fault is not null)
        {
            throw new ArgumentException(fault);
        }
    }

    /// <summary>Whether a field has room for the machine at all.</summary>
    /// <param name="field">The field.</param>
    /// <exception cref="GroundDataException">The implement is wider than the field is long; the message says so.</exception>
    public void CheckFits(FieldArea field)
    {
        ArgumentNullException.ThrowIfNull(field);
        NetTopologySuite.Geometries.Envelope box = field.Boundary.EnvelopeInternal;
        double across = Math.Max(box.Width, box.Height);
        if (Implement.WidthOverAll > across)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"The implement is {Implement.WidthOverAll:0.#} m wide and the field {across:0} m across: check the width in the machine's file and the field's outline."));
        }
    }
}
