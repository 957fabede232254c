using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>What to mend of an elevation before it is used.</summary>
public sealed record GroundMendingOptions
{
    /// <summary>Largest hole filled when nothing else is asked for, square metres.</summary>
    public const double DefaultMaximumVoid = 100.0;

    /// <value>Larger holes are left, square metres; 0 fills none. Default 100 m2: a tree crown, or one cell of 10 m.</value>
    public double MaximumVoid { get; init; } = DefaultMaximumVoid;

    /// <value>Whether cells that stand out as no ground does are taken out (and filled as holes are). Default: they are only told of.</value>
    public bool RemoveSpikes { get; init; }
}

/// <summary>Mends elevation, and says in its notes what was done and what was left.</summary>
/// <remarks>
/// <para>Units: metres, square metres; places in the notes are longitude and latitude.</para>
/// <para>Promises: heights other than those of spikes are not touched. Methods: <see cref="VoidFilling"/> and
/// <see cref="HeightSpikes"/>.</para>
/// <para>Cost: linear in the cells.</para>
/// </remarks>
public static class GroundMending
{
    /// <summary>Mends.</summary>
    /// <param name="source">Elevation as read.</param>
    /// <param name="options">What to mend; null for the defaults.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The same elevation with mended heights and the notes on it.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The largest hole to fill is below 0 or not a number.</exception>
    public static ElevationSource Mend(ElevationSource source, GroundMendingOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(source);
        options ??= new GroundMendingOptions();
        List<string> notes = [.. source.Notes];
        ElevationGrid grid = source.Grid;
        IReadOnlyList<HeightSpike> spikes = HeightSpikes.Find(grid, cancellationToken);
        if (spikes.Count > 0)
        {
            HeightSpike worst = spikes.MaxBy(s => Math.Abs(s.Above))!;
            string what = FormattableString.Invariant(
                $"{spikes.Count} {(spikes.Count == 1 ? "cell stands" : "cells stand")} out as no ground does, the worst {Math.Abs(worst.Above):0.0} m {(worst.Above > 0 ? "above" : "below")} its neighbours at {Place(source, worst.X, worst.Y)}");
            notes.Add(what + (spikes.Count == 1, options.RemoveSpikes) switch
            {
                (true, true) => "; it was taken out.",
                (true, false) => "; it was left in.",
                (false, true) => "; all were taken out.",
                _ => "; they were left in.",
            });
            grid = options.RemoveSpikes ? HeightSpikes.Without(grid, spikes) : grid;
        }

        VoidFillingResult filled = VoidFilling.Fill(grid, options.MaximumVoid, cancellationToken);
        Tell(source, [.. filled.Voids.Where(v => v.Filled)], "filled by a membrane over their rims", notes);
        Tell(source, [.. filled.Voids.Where(v => !v.Filled && !v.ReachesEdge)], FormattableString.Invariant($"left, being larger than {options.MaximumVoid:0.#} m2"), notes);
        return source.With(filled.Ground, notes);
    }

    private static void Tell(ElevationSource source, List<GroundVoid> voids, string fate, List<string> notes)
    {
        if (voids.Count == 0)
        {
            return;
        }

        GroundVoid largest = voids.MaxBy(v => v.Cells)!;
        notes.Add(FormattableString.Invariant(
            $"{voids.Count} {(voids.Count == 1 ? "hole" : "holes")} in the elevation, {voids.Sum(v => v.Area):0.#} m2 in all, the largest {largest.Area:0.#} m2 at {Place(source, largest.X, largest.Y)}: {fate}."));
    }

    private static string Place(ElevationSource source, double x, double y)
    {
        (double lon, double lat) = source.Crs.ToLonLat(x, y);
        return FormattableString.Invariant($"{lon:0.00000}, {lat:0.00000}");
    }
}
