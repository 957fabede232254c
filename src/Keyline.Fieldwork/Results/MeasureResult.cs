namespace Keyline.Fieldwork;

/// <summary>What a measure says.</summary>
public enum TrialVerdict
{
    /// <summary>It cannot tell.</summary>
    CannotTell,

    /// <summary>More with the treatment.</summary>
    More,

    /// <summary>Less with the treatment.</summary>
    Less,

    /// <summary>No more different than what counts as nothing.</summary>
    Alike,
}

/// <summary>The effect at one visit.</summary>
/// <param name="Date">First day of the visit.</param>
/// <param name="Years">Years since the work; below 0 before it.</param>
/// <param name="Effect">Treated less control at block level, what was there before taken off; on the measure's scale.</param>
/// <param name="Blocks">The difference in each block; NaN where it was not read.</param>
public sealed record VisitEffect(DateOnly Date, double Years, Estimate Effect, IReadOnlyList<double> Blocks);

/// <summary>Mean of a plot at a visit.</summary>
/// <param name="Plot">The whole plot.</param>
/// <param name="Block">Its block.</param>
/// <param name="Treatment">Its treatment.</param>
/// <param name="Date">First day of the visit.</param>
/// <param name="Years">Years since the work; below 0 before it.</param>
/// <param name="Mean">Mean on the measure's scale.</param>
/// <param name="Points">Points read.</param>
public sealed record PlotMean(string Plot, int Block, string Treatment, DateOnly Date, double Years, double Mean, int Points);

/// <summary>How long an effect lasts.</summary>
/// <param name="Fit">The fit, in years since the work.</param>
/// <param name="Gone">Years until no more than a tenth is left to tell; infinite where it does not fade.</param>
/// <param name="Low">Low end of its 90 % interval.</param>
/// <param name="High">High end; infinite where the data set none.</param>
public sealed record EffectFading(DecayFit Fit, double Gone, double Low, double High);

/// <summary>What a trial says of one measure and one treatment.</summary>
/// <remarks>Units: effects on the measure's scale (logarithms of ratios where it is compared so). Promises: every estimate stands on blocks.</remarks>
public sealed record MeasureResult
{
    /// <summary>Share of the control's mean that counts as no difference.</summary>
    public const double NoDifference = 0.10;

    /// <value>The measure.</value>
    public required TrialMeasure Measure { get; init; }

    /// <value>The treatment that is compared with the control; in a monitored comparison the change since the first visit.</value>
    public required string Treatment { get; init; }

    /// <value>Every plot's mean at every visit.</value>
    public required IReadOnlyList<PlotMean> Means { get; init; }

    /// <value>The effect at each visit.</value>
    public required IReadOnlyList<VisitEffect> Visits { get; init; }

    /// <value>The effect over all visits after the work.</value>
    public required Estimate Overall { get; init; }

    /// <value>Each block's effect over all visits after the work.</value>
    public required IReadOnlyList<double> Blocks { get; init; }

    /// <value>Whether a visit before the work was taken off.</value>
    public bool HasBefore { get; init; }

    /// <value>The randomisation test beside it; null with fewer than two blocks.</value>
    public RandomisationResult? Randomised { get; init; }

    /// <value>p-value made up for the number of measures.</value>
    public double AdjustedP { get; init; } = 1;

    /// <value>What counts as no difference, on the measure's scale.</value>
    public double Margin { get; init; }

    /// <value>p-value of "more different than that".</value>
    public double PEquivalent { get; init; } = 1;

    /// <value>The mixed model over visits; null where there are too few.</value>
    public Estimate? Mixed { get; init; }

    /// <value>How it fades; null where there are too few visits or no effect to fade.</value>
    public EffectFading? Fading { get; init; }

    /// <value>What it comes to.</value>
    public TrialVerdict Verdict { get; init; }

    /// <value>What it comes to, in a sentence.</value>
    public string Sentence { get; init; } = "";
}

/// <summary>What a trial says so far.</summary>
/// <param name="Plan">The trial.</param>
/// <param name="Ripped">Day of the work; null where it is not done yet.</param>
/// <param name="Measures">Measure by measure.</param>
/// <param name="Notes">What there is to say besides.</param>
public sealed record TrialResults(TrialPlan Plan, DateOnly? Ripped, IReadOnlyList<MeasureResult> Measures, IReadOnlyList<string> Notes)
{
    /// <value>Every pair of treatments, measure by measure; empty where there are two treatments.</value>
    public IReadOnlyList<TreatmentPair> Pairs { get; init; } = [];
}
