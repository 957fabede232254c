using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>When and how points become a map.</summary>
/// <remarks>Units: metres, counts.</remarks>
public sealed record PointMapOptions
{
    /// <summary>The default of <see cref="LeastPoints"/>.</summary>
    public const int DefaultLeastPoints = 30;

    /// <summary>Points from which a variogram can be relied on: R. Webster and M. A. Oliver, "Sample adequately to estimate variograms of
    /// soil properties", Journal of Soil Science 43 (1992) 177-192.</summary>
    public const int EnoughPoints = 100;

    /// <value>Places below which no map is made. Default 30, a judgement: 100 are enough, fewer than 50 seldom.</value>
    public int LeastPoints { get; init; } = DefaultLeastPoints;

    /// <value>What kriging looks at.</value>
    public KrigingOptions Kriging { get; init; } = new();

    /// <value>Forms of variogram that are tried; null for the usual four.</value>
    public IReadOnlyList<VariogramKind>? Kinds { get; init; }

    /// <value>Longest distance that the variogram is measured over, metres; NaN for a third of the diagonal of the points' box.</value>
    public double Cutoff { get; init; } = double.NaN;
}

/// <summary>A value over the land from points, or its mean and range where the points do not carry a map.</summary>
/// <remarks>
/// <para>Units: metres; the value's own. Promises: says in sentences what was done, how far off it is, and what speaks against it; no map from
/// fewer places than asked for, from values that are all alike, or where nearness tells nothing.</para>
/// <para>Cost: that of <see cref="SampleVariogram"/>, <see cref="VariogramFit"/>, <see cref="KrigingCheck"/> and <see cref="PointKriging"/>.</para>
/// </remarks>
public sealed class PointMap
{
    private PointMap(string name, string unit, PointSet set)
    {
        (Name, Unit, Places, Mean, Least, Greatest) = (name, unit, set.Count, set.Mean, set.Values.Min(), set.Values.Max());
    }

    /// <summary>What was measured, in words.</summary>
    public string Name { get; }

    /// <summary>Its unit; may be empty.</summary>
    public string Unit { get; }

    /// <summary>Places with a value.</summary>
    public int Places { get; }

    /// <summary>Mean of the values.</summary>
    public double Mean { get; }

    /// <summary>The least.</summary>
    public double Least { get; }

    /// <summary>The greatest.</summary>
    public double Greatest { get; }

    /// <summary>The map; null where there is none.</summary>
    public KrigedMap? Map { get; private init; }

    /// <summary>The measured classes; empty where none were measured.</summary>
    public IReadOnlyList<VariogramLag> Lags { get; private init; } = [];

    /// <summary>The variograms laid through them: first the one used, which misses places left out least, then by their distance from the classes.</summary>
    public IReadOnlyList<FittedVariogram> Fits { get; private init; } = [];

    /// <summary>How far off the map is; null without one.</summary>
    public KrigingErrors? Errors { get; private init; }

    /// <summary>What to know of it.</summary>
    public IReadOnlyList<string> Sentences { get; private init; } = [];

    /// <summary>Makes a map.</summary>
    /// <param name="name">What was measured, in words.</param>
    /// <param name="unit">Its unit; may be empty.</param>
    /// <param name="points">The points, one or more.</param>
    /// <param name="frame">The cells.</param>
    /// <param name="within">Only cells whose centre lies in it; null for all.</param>
    /// <param name="options">When and how; null for the defaults.</param>
    /// <param name="progress">Told of it, or null.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">No point, or one that is no number.</exception>
    public static PointMap Of(string name, string unit, IEnumerable<SoilPoint> points, GridFrame frame, Geometry? within = null, PointMapOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(name);
        ArgumentNullException.ThrowIfNull(unit);
        ArgumentNullException.ThrowIfNull(frame);
        options ??= new PointMapOptions();
        PointSet set = PointSet.Of(points);
        PointMap plain = new(name, unit, set);
        List<string> said = [];
        if (set.Merged > 0)
        {
            said.Add(FormattableString.Invariant($"{name}: {set.Merged} readings at a place that had one were joined with it by their mean."));
        }

        string meanAndRange = $"mean {VariogramModel.Figures(plain.Mean)} {unit}".TrimEnd() + $", from {VariogramModel.Figures(plain.Least)} to {VariogramModel.Figures(plain.Greatest)} {unit}".TrimEnd();
        int needed = Math.Max(options.LeastPoints, 4 * PointSet.TermsOf(options.Kriging.Trend));
        if (set.Count < needed)
        {
            return plain.Without(said, FormattableString.Invariant($"{name}: {set.Count} {(set.Count == 1 ? "place is" : "places are")} too few for a map ({needed} are asked for): {meanAndRange}."));
        }

        if (plain.Greatest == plain.Least)
        {
            return plain.Without(said, FormattableString.Invariant($"{name}: all {set.Count} values are {plain.Mean:G4} {unit}").TrimEnd() + ", so there is nothing to map.");
        }

        IReadOnlyList<VariogramLag> lags = SampleVariogram.Of(set, options.Kriging.Trend, options.Cutoff, double.NaN);
        if (lags.Count(l => l.Distance > 0) < 3)
        {
            return plain.Without(said, FormattableString.Invariant($"{name}: the places lie at too few distances from each other for a variogram: {meanAndRange}."));
        }

        IReadOnlyList<FittedVariogram> fits = VariogramFit.All(lags, options.Kinds);
        VariogramModel model = fits[0].Model;
        if (model.Kind == VariogramKind.Nugget)
        {
            said.Add(FormattableString.Invariant($"{name}: places near each other are no more alike than places far apart, so a map would only draw chance: {meanAndRange}."));
            return new PointMap(name, unit, set) { Lags = lags, Fits = fits, Sentences = said };
        }

        // A form that lies nearest to the classes may still draw waves between the points (a bell without a nugget does): points left out decide.
        (FittedVariogram Fit, KrigingErrors Errors)[] tried = [.. fits.Where(f => f.Model.Kind != VariogramKind.Nugget).Select(f => (f, KrigingCheck.Of(set, f.Model, options.Kriging, cancellationToken))).OrderBy(f => f.Item2.RootMeanSquare)];
        (fits, KrigingErrors errors) = ([tried[0].Fit, .. fits.Where(f => f != tried[0].Fit)], tried[0].Errors);
        model = fits[0].Model;
        KrigedMap map = PointKriging.Of(set, model, options.Kriging).Map(frame, within, progress, cancellationToken);
        said.Add(FormattableString.Invariant($"{name}: {set.Count} places, {meanAndRange}; variogram {model}, which of those tried misses places left out least; each place from its {Math.Min(options.Kriging.Neighbours, set.Count)} nearest{TrendWords(options.Kriging.Trend)}{(options.Kriging.Block > 0 ? FormattableString.Invariant($", as means over squares of {options.Kriging.Block:0.#} m") : "")}."));
        said.Add(FormattableString.Invariant($"{name}: places left out one by one are missed by {errors.RootMeanSquare:G3} {unit}").TrimEnd() + FormattableString.Invariant($" (root mean square), {FormattableString.Invariant($"{errors.MeanError:+0.###;-0.###;0} {unit}").TrimEnd()} on the whole; the map explains {100 * Math.Max(errors.Explained, 0):0} % of what varies. A plain mean by inverse distance misses them by {InverseDistance.ErrorLeftOut(set, InverseDistance.UsualPower):G3} {unit}").TrimEnd() + ".");
        if (errors.Explained <= 0)
        {
            said.Add($"{name}: the map tells no more than the mean does. Do not draw borders by it; measure more places.");
        }

        if (set.Count < EnoughOr(options))
        {
            said.Add(FormattableString.Invariant($"{name}: a variogram from {set.Count} places is rough; {PointMapOptions.EnoughPoints} and more can be relied on (Webster and Oliver 1992)."));
        }

        if (fits[0].IsAtLimit || model.Kind == VariogramKind.Linear)
        {
            said.Add($"{name}: values still grow apart at the longest distance looked at; a trend, or a wider survey, may tell more.");
        }

        return new PointMap(name, unit, set) { Map = map, Lags = lags, Fits = fits, Errors = errors, Sentences = said };
    }

    private static int EnoughOr(PointMapOptions options) => Math.Max(PointMapOptions.EnoughPoints, options.LeastPoints);

    private static string TrendWords(KrigingTrend trend) => trend switch { KrigingTrend.Plane => ", about a plane", KrigingTrend.Curved => ", about a curved surface", _ => "" };

    private PointMap Without(List<string> said, string sentence) => new(this, [.. said, sentence]);

    private PointMap(PointMap other, IReadOnlyList<string> said)
    {
        (Name, Unit, Places, Mean, Least, Greatest, Sentences) = (other.Name, other.Unit, other.Places, other.Mean, other.Least, other.Greatest, said);
    }
}
