namespace Keyline.Report;

/// <summary>A trial laid out on the plan.</summary>
/// <remarks>Units: metres; ratios as they are.</remarks>
/// <param name="IsRandomised">Whether treatments were drawn by lot; else it only watches.</param>
/// <param name="Blocks">Blocks there are.</param>
/// <param name="BlocksWanted">Blocks it takes to show the effect; 0 where that is not known.</param>
/// <param name="Plots">Plots.</param>
/// <param name="PlotLength">Length of a plot.</param>
/// <param name="Effect">Ratio it is to show.</param>
/// <param name="Treatments">Treatments in their own words, the control first.</param>
/// <param name="LinesLeft">Lines with a stretch that is left unripped for the control.</param>
/// <param name="Notes">What else was said, in English.</param>
public sealed record ReportedTrial(bool IsRandomised, int Blocks, int BlocksWanted, int Plots, double PlotLength, double Effect, IReadOnlyList<string> Treatments, IReadOnlyList<string> LinesLeft, IReadOnlyList<string> Notes);

/// <summary>What the readings of a trial say.</summary>
/// <param name="IsRandomised">Whether treatments were drawn by lot.</param>
/// <param name="WorkedOn">Day of the work; null where it is not known.</param>
/// <param name="Measures">Measure by measure.</param>
/// <param name="SetAside">Rows that could not be used.</param>
/// <param name="Due">What is due next, the first of it; null for nothing.</param>
public sealed record ReportedResults(bool IsRandomised, DateOnly? WorkedOn, IReadOnlyList<ReportedMeasure> Measures, int SetAside, DateOnly? Due)
{
    /// <summary>The field's record, year by year.</summary>
    public IReadOnlyList<ReportedYear> Years { get; init; } = [];
}

/// <summary>A year of the field's record.</summary>
/// <param name="Year">The year.</param>
/// <param name="Work">What was done, in the words of the record.</param>
/// <param name="Values">Values read.</param>
/// <param name="Photos">Photographs.</param>
/// <param name="Rain">Rain, metres; NaN where none was written down.</param>
public sealed record ReportedYear(int Year, IReadOnlyList<string> Work, int Values, int Photos, double Rain);

/// <summary>What came of one measure.</summary>
/// <param name="Id">Its name in files.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="IsRatio">Whether the effect is a ratio.</param>
/// <param name="Treatment">The treatment held against the control.</param>
/// <param name="Answer">more, less, alike or cannot tell.</param>
/// <param name="Effect">A ratio, or a difference in the unit; NaN where it is not known.</param>
/// <param name="Low">Low end of the interval that is 95 % sure.</param>
/// <param name="High">Its high end.</param>
/// <param name="Sentence">The whole of it, in English.</param>
public sealed record ReportedMeasure(string Id, string Unit, bool IsRatio, string Treatment, string Answer, double Effect, double Low, double High, string Sentence);
