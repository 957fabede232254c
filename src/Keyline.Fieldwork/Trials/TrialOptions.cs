namespace Keyline.Fieldwork;

/// <summary>How a trial is to be laid out, and what it is to show.</summary>
/// <remarks>Units: metres; shares of 1. Source: defaults are judgements, save the power of 0.8 (Cohen 1988).</remarks>
public sealed record TrialOptions
{
    /// <summary>Passes in a plot where nothing else is asked for.</summary>
    public const int DefaultPasses = 4;

    /// <summary>Length of a plot where nothing else is asked for, metres.</summary>
    public const double DefaultLength = 80;

    /// <value>The treatments, control first.</value>
    public IReadOnlyList<TrialTreatment> Treatments { get; init; } = TrialTreatment.Usual;

    /// <value>Blocks wanted; 0 for as many as the power asks for.</value>
    public int Blocks { get; init; }

    /// <value>Seed of every draw; it belongs to the trial's record.</value>
    public ulong Seed { get; init; } = 1;

    /// <value>Passes side by side in a plot, 2 or more.</value>
    public int Passes { get; init; } = DefaultPasses;

    /// <value>Passes between plots that belong to none.</value>
    public int Buffer { get; init; } = 1;

    /// <value>Length of a plot along its passes, metres; shorter ones are tried where these do not fit.</value>
    public double Length { get; init; } = DefaultLength;

    /// <value>Shortest plot, metres.</value>
    public double LeastLength { get; init; } = 40;

    /// <value>Ratio of treated to control that the trial should show, above 1.</value>
    public double Effect { get; init; } = 2;

    /// <value>Coefficient of variation of single rings in a plot.</value>
    public double RingVariation { get; init; } = 1;

    /// <value>Coefficient of variation of plots in a block beyond that of their rings.</value>
    public double PlotVariation { get; init; } = 0.3;

    /// <value>Chance of showing the effect.</value>
    public double Power { get; init; } = 0.8;

    /// <value>Greatest difference of position between valley (0) and ridge (1) among the plots of a block.</value>
    public double MostPositionRange { get; init; } = 0.25;

    /// <value>Greatest difference of slope among the plots of a block, percent.</value>
    public double MostSlopeRange { get; init; } = 4;

    /// <value>Levels of a second factor on parts of each plot, as grazed and rested; empty for none.</value>
    public IReadOnlyList<string> Split { get; init; } = [];

    /// <value>Points in each plot, or part of one, by kind.</value>
    public IReadOnlyDictionary<string, int> Points { get; init; } = TrialPoint.UsualCounts;

    /// <value>Whether half the rings, penetrometer points and cores go on the rip, where the question is the rip itself.</value>
    public bool OnRip { get; init; }

    /// <value>Distance between the middles of the tractor's wheel tracks, metres.</value>
    public double WheelTrack { get; init; } = 1.8;

    /// <summary>Standard deviation, on the log scale, of one block's difference between two plots.</summary>
    public double SpreadOfDifferences
    {
        get
        {
            double plot = TrialPower.LogSpread(PlotVariation), ring = TrialPower.LogSpread(RingVariation);
            return Math.Sqrt(2 * ((plot * plot) + (ring * ring / Math.Max(1, Points.GetValueOrDefault("ring", 1)))));
        }
    }

    /// <summary>Checks what is asked for.</summary>
    /// <exception cref="GroundDataException">Something cannot be.</exception>
    public void Validate()
    {
        TrialTreatment.Checked(Treatments);
        Must(Blocks is >= 0 and <= 40, "blocks must be 1 to 40");
        Must(Passes is >= 2 and <= 40, "a plot must be 2 to 40 passes wide");
        Must(Buffer is >= 0 and <= 20, "the buffer must be 0 to 20 passes");
        Must(Length >= LeastLength && LeastLength >= 20 && Length <= 2000, "a plot must be 20 to 2000 m long, and no shorter than its least");
        Must(Effect > 1 && Effect <= 100, "the effect is a ratio above 1, as 2 for a doubling");
        Must(RingVariation is > 0 and <= 5 && PlotVariation is >= 0 and <= 5, "a coefficient of variation lies between 0 and 500 %");
        Must(Power is > 0.05 and < 1, "the power lies between 5 and 100 %");
        Must(Split.Count is 0 or (>= 2 and <= 4) && Split.Distinct().Count() == Split.Count, "a split takes 2 to 4 different levels");
        Must(Points.Values.All(v => v is >= 0 and <= 40), "a plot takes up to 40 points of a kind");
        Must(WheelTrack is > 0.5 and < 6, "the wheel track lies between 0.5 and 6 m");

        static void Must(bool holds, string rule)
        {
            if (!holds)
            {
                throw new GroundDataException($"The trial cannot be laid out: {rule}.");
            }
        }
    }
}
