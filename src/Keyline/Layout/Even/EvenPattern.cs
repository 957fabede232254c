using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Even;

/// <summary>Lays out workable ground with lines that all lie about a spacing from their neighbours.</summary>
/// <remarks>
/// <para>Units: metres, percent. Lines are level lines of a count of lines over the field. How far they miss the spacing and the
/// wished fall, and how many must end inside, is weighed in one convex problem; then phases close the lines, are moved to fit, traced and shaped.</para>
/// <para>Promises: lines do not cross, leave the workable ground or turn tighter than the radius; same input, same lines, whatever the number of cores.</para>
/// <para>Cost: linear in the area of each part.</para>
/// </remarks>
internal static class EvenPattern
{
    private const double Margin = 40;
    private const double NodeReach = 1.2;
    private const double PhaseReach = 1.1;
    private const int BoundSteps = 300;

    /// <summary>Lays out.</summary>
    /// <param name="rasterOf">The working cells that a part lies on.</param>
    /// <param name="workable">What can be worked.</param>
    /// <param name="keylines">Lines that the pattern must hold: keylines and pinned lines.</param>
    /// <param name="settings">What to balance.</param>
    /// <param name="around">Steps lines around small things to be avoided; null cuts them there.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static EvenLayout Lay(Func<Geometry, LayoutRaster> rasterOf, Geometry workable, IReadOnlyList<LinePath> keylines, EvenSettings settings, StepAround? around, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        IReadOnlyList<Geometry> areas = GuideBlock.Split(workable);
        List<EvenLine>[] lines = new List<EvenLine>[areas.Count];
        EvenPart[] parts = new EvenPart[areas.Count];
        StageProgress stage = new(progress, "lines", areas.Count);
        WorkThreads.Together(cancellationToken, [.. Enumerable.Range(0, areas.Count).Select(p => (Action)(() =>
        {
            NodeGrid grid = NodeGrid.Create(rasterOf(areas[p]).Window(areas[p].EnvelopeInternal, Margin), areas[p], settings, cancellationToken);
            parts[p] = LayPart(grid, areas[p], keylines, settings, around, lines[p] = [], cancellationToken);
            stage.Step();
        }))]);
        return new EvenLayout([.. lines.SelectMany(l => l)], parts);
    }

    /// <summary>Lays out one part.</summary>
    /// <param name="grid">Nodes over it with their windows.</param>
    /// <param name="area">Its workable ground.</param>
    /// <param name="keylines">Lines that the pattern must hold.</param>
    /// <param name="settings">What to balance.</param>
    /// <param name="around">Steps lines around small things to be avoided; null cuts them there.</param>
    /// <param name="lines">Where its lines are put.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static EvenPart LayPart(NodeGrid grid, Geometry area, IReadOnlyList<LinePath> keylines, EvenSettings settings, StepAround? around, List<EvenLine> lines, CancellationToken cancellationToken)
    {
        KeylineNodes? keys = keylines.Count == 0 ? null : KeylineNodes.Find(grid.Frame, keylines, NodeReach * grid.Frame.CellSize);
        SpacingField field = SpacingField.Solve(grid, settings, keys, cancellationToken);
        double bound = 0;
        int residues = 0;
        WorkThreads.Together(
            cancellationToken,
            () => residues = LayLines(field, area, keylines, settings, around, lines, cancellationToken),
            () => (bound, _) = EndsBound.Find(EndsBound.Pose(grid, settings, field.Problem.Signs), BoundSteps, cancellationToken));
        return new EvenPart(area.Area, bound, field.LineEnds, residues);
    }

    private static int LayLines(SpacingField field, Geometry area, IReadOnlyList<LinePath> keylines, EvenSettings settings, StepAround? around, List<EvenLine> lines, CancellationToken cancellationToken)
    {
        PhaseGrid phase = PhaseGrid.Create(field, area, settings.Spacing, cancellationToken);
        if (keylines.Count > 0)
        {
            phase.Fix(KeylineNodes.Find(phase.Frame, keylines, PhaseReach * phase.Frame.CellSize), settings.Spacing);
        }

        LinePhase.Solve(phase, cancellationToken);
        int residues = phase.Residues();
        PhasePolish.Run(phase, field, settings.MinimumRadius, cancellationToken);
        LineShaping shaping = new(area, keylines, settings, around);
        shaping.Lay(PhaseTracer.Trace(phase), cancellationToken);
        lines.AddRange(shaping.Lines);
        return residues;
    }
}

/// <summary>What came of one part.</summary>
/// <param name="Area">Square metres.</param>
/// <param name="Bound">Fewest line ends that the windows and the spacing allow, certified.</param>
/// <param name="Circulation">Line ends that the solved field asks for.</param>
/// <param name="Residues">Places where lines end once phases are whole.</param>
internal sealed record EvenPart(double Area, double Bound, double Circulation, int Residues);

/// <summary>The lines of the even pattern.</summary>
internal sealed record EvenLayout(IReadOnlyList<EvenLine> Lines, IReadOnlyList<EvenPart> Parts)
{
    /// <summary>What there is to say of the ends that the land asked for.</summary>
    public IReadOnlyList<string> Notes(EvenSettings settings) => Lines.Count == 0 ? [] :
    [
        FormattableString.Invariant($"Even lines: with every line within {100 * settings.Tolerance:F0} % of the spacing and in the directions wished for, at least {Math.Floor(Parts.Sum(p => p.Bound)):F0} line ends must lie inside the field; the plan's balance of drift and ends asks for {Parts.Sum(p => p.Circulation):F0} and its pattern has {Parts.Sum(p => p.Residues)} places where a line starts or stops, near the edge too (the figures count line ends more than two spacings inside)."),
    ];
}
