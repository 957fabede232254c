using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Parallels;

/// <summary>The pattern of guides and true parallels of them. Each connected part of the workable ground has guides of its own.</summary>
/// <remarks>
/// <para>Units: metres, percent. Candidates are surveyed once for a survey and priced any number of times.</para>
/// <para>Cost: candidate levels times working cells, once; then the length of the lines for each plan.</para>
/// </remarks>
internal sealed class ParallelPattern
{
    // Guides may get this many times dearer to hold their number, in steps of a quarter.
    private const double MostDearer = 1e6;
    private const double DearerStep = 1.25;

    private readonly FieldSurvey _survey;
    private IReadOnlyList<GuideBlock>? _blocks;

    private ParallelPattern(FieldSurvey survey) => _survey = survey;

    /// <summary>The pattern on a survey, with whatever was worked out on it before.</summary>
    public static ParallelPattern On(FieldSurvey survey) => survey.Kept(() => new ParallelPattern(survey));

    /// <summary>The lines of the guides that are best at given prices; pinned guides and their parallels come first.</summary>
    public PatternLines Chosen(LayoutPrices prices, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        LinePlacement placement = Placement();
        PlacePinned(placement);
        IReadOnlyList<GuideBlock> blocks = Blocks(placement, progress, cancellationToken);
        LayoutCost cost = LayoutCost.Nothing;
        StageProgress stage = new(progress, "lines", blocks.Count);
        (IReadOnlyList<GuideBand> Bands, LayoutCost Cost)[] chosen = ChooseWithin(blocks, prices, placement.Lines.Select(l => l.Guide).Distinct().Count(), out string? tooMany);
        for (int b = 0; b < blocks.Count; b++)
        {
            cost = cost.Plus(chosen[b].Cost);
            placement.PlacePart(blocks[b], b, chosen[b].Bands, cancellationToken);
            stage.Step();
        }

        return Named(placement.Lines, blocks, b => chosen[b].Bands, cost) with { Said = tooMany is null ? [] : [tooMany] };
    }

    // The choice of each block; where there is a most number of guides, at a price of guides that is just high enough for it.
    private (IReadOnlyList<GuideBand> Bands, LayoutCost Cost)[] ChooseWithin(IReadOnlyList<GuideBlock> blocks, LayoutPrices prices, int pinned, out string? tooMany)
    {
        tooMany = null;
        double more = 1;
        while (true)
        {
            (IReadOnlyList<GuideBand> Bands, LayoutCost Cost)[] chosen = [.. blocks.Select(b => b.Survey.Choose(prices, more))];
            int guides = pinned + chosen.Sum(c => c.Bands.Select(b => b.Guide).Distinct().Count());
            if (_survey.Options.MostGuides is not { } most || guides <= most)
            {
                return chosen;
            }

            if (more >= MostDearer)
            {
                tooMany = FormattableString.Invariant($"The plan has guides at {guides} levels and not {most}: every clear keypoint and pinned line has one, and every separate piece of ground needs one.");
                return chosen;
            }

            more *= DearerStep;
        }
    }

    /// <summary>The lines of guides that are given and not chosen.</summary>
    /// <param name="blocks">Blocks that hold all the workable ground between them, each with its guides.</param>
    /// <param name="steps">The bands of a block: guide, and the levels they lie between.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public PatternLines Laid(IReadOnlyList<GuideBlock> blocks, Func<GuideBlock, IReadOnlyList<(int Guide, int Low, int High)>> steps, CancellationToken cancellationToken)
    {
        LinePlacement placement = Placement();
        LayoutCost cost = LayoutCost.Nothing;
        for (int b = 0; b < blocks.Count; b++)
        {
            IReadOnlyList<(int Guide, int Low, int High)> bands = steps(blocks[b]);
            placement.PlacePart(blocks[b], b, [.. bands.Select(s => blocks[b].Survey.Band(s.Guide, s.Low, s.High))], cancellationToken);
            cost = cost.Plus(blocks[b].Survey.Cost(bands, _survey.Options.Prices));
        }

        return Named(placement.Lines, blocks, null, cost);
    }

    private LinePlacement Placement() => new(_survey.Work.Workable.EnvelopeInternal, new StepAround(_survey.Field, _survey.Options), _survey.Options);

    // Guides that carry a line: part by part, from the top down.
    private PatternLines Named(IReadOnlyList<PlacedLine> placed, IReadOnlyList<GuideBlock> blocks, Func<int, IReadOnlyList<GuideBand>>? bandsOf, LayoutCost cost)
    {
        GuideKey[] keys = [.. placed.Select(p => p.Guide).Distinct().OrderBy(k => k.Part).ThenByDescending(k => k.Level).ThenBy(k => k.Piece)];
        Dictionary<GuideKey, int> place = keys.Index().ToDictionary(k => k.Item, k => k.Index);
        GuideReasons reasons = new(_survey, blocks, keys);
        return new PatternLines(
            [
                .. keys.Select((key, k) => key.Part < 0
                    ? new PatternGuide(_survey.Field.PinnedGuides[key.Piece].Line, double.NaN, true, false, _survey.Field.PinnedGuides[key.Piece].IsRipped ? "pinned" : "pinned, not to be ripped")
                    : new PatternGuide(reasons.LineOf(k), blocks[key.Part].Levels[key.Level].Level, false, reasons.IsKeyline(k), reasons.Of(k, bandsOf))),
            ],
            [.. placed.Select(p => new PatternLine(p.Path, place[p.Guide], p.Side, p.Offset))],
            keys.Select(k => (k.Part, k.Part < 0 ? k.Piece : k.Level)).Distinct().Count(),
            cost);
    }

    // Blocks do not depend on prices, so they are surveyed once. What pinned guides take is left out of them.
    private IReadOnlyList<GuideBlock> Blocks(LinePlacement placement, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        if (_blocks is null)
        {
            IReadOnlyList<Geometry> areas = GuideBlock.Split(_survey.Work.Workable);
            ILookup<int, XY> keypoints = _survey.Keypoints.ToLookup(k => Enumerable.Range(0, areas.Count).MinBy(a => areas[a].Distance(areas[a].Factory.CreatePoint(new Coordinate(k.X, k.Y)))));
            Dictionary<LayoutRaster, GuideSurface> surfaces = _survey.Rasters.ToDictionary(r => r, r => GuideSurface.Create(r, _survey.Options.DesignFall, cancellationToken));
            GuideBlock[] blocks = new GuideBlock[areas.Count];
            for (int i = 0; i < blocks.Length; i++)
            {
                LayoutRaster raster = _survey.RasterOf(areas[i]);
                blocks[i] = GuideBlock.Create(
                    raster, surfaces[raster], areas[i], placement.Lines.Count == 0 ? _ => false : placement.IsTaken, _survey.Margin, _survey.Options, [.. keypoints[i]], _survey.Field.OutletDistance, progress, cancellationToken);
            }

            _blocks = blocks;
        }

        return _blocks;
    }

    private void PlacePinned(LinePlacement placement)
    {
        IReadOnlyList<PinnedGuide> pinned = _survey.Field.PinnedGuides;
        if (pinned.Count == 0)
        {
            return;
        }

        AreaClip clip = new(_survey.Work.Workable);
        for (int i = 0; i < pinned.Count; i++)
        {
            LinePath guide = SampledLine.PathOf(pinned[i].Line).Resample(1);
            LayoutRaster raster = _survey.Rasters.Count == 1 ? _survey.Rasters[0] : _survey.Rasters.MinBy(r => r.Frame.Extent.Distance(pinned[i].Line.EnvelopeInternal))!;
            placement.PlacePinned(guide, i, pinned[i].IsRipped, raster, clip, p => _survey.Options.Limits.GradeLimitAt(GridSampling.Bilinear(raster.LandSlope, raster.Frame, p.X, p.Y), _survey.Field.OutletDistance(p)));
        }
    }
}
