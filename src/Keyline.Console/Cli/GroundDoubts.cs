using Keyline.Elevation;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Cli;

/// <summary>What an inspection doubts of the ground, so that whoever plans on it is told as well.</summary>
/// <remarks>Cost: that of the inspection, over the ground around each piece of the field: pieces far apart cost what they cost alone.</remarks>
internal static class GroundDoubts
{
    // Holes and spikes are told of when the ground is mended.
    private static readonly string[] ToldAlready = ["holes", "spikes"];

    // Places that together cover more than this of the ground are not worth being looked at apart.
    private const double MostShare = 0.5;

    /// <summary>The ground with the doubts among its notes: what is not good enough, and cells and cover that need care.</summary>
    public static ElevationSource Told(ElevationSource ground, FieldArea field, LayoutOptions layout, CancellationToken stop) =>
        ground.With(ground.Grid, [.. ground.Notes, .. Judged(ground.Grid, field, layout, stop).Where(Counts).Select(j => j.Sentence)]);

    /// <summary>The boxes of ground that are looked at one by one: those of the pieces with what is around them, joined where they meet.</summary>
    internal static IReadOnlyList<Envelope> Places(GridFrame frame, Geometry boundary)
    {
        List<Envelope> boxes = [];
        for (int i = 0; i < boundary.NumGeometries; i++)
        {
            Envelope box = boundary.GetGeometryN(i).EnvelopeInternal.Copy();
            box.ExpandBy(GroundReading.SurroundingsOf(box.Diameter));
            for (int k = boxes.FindIndex(b => b.Intersects(box)); k >= 0; k = boxes.FindIndex(b => b.Intersects(box)))
            {
                box.ExpandToInclude(boxes[k]);
                boxes.RemoveAt(k);
            }

            boxes.Add(box);
        }

        return boxes.Count > 1 && boxes.Sum(b => b.Intersection(frame.Extent).Area) <= MostShare * frame.Extent.Area ? boxes : [frame.Extent];
    }

    // Of what is said of one thing in several places, the worst counts, and of equals the first.
    private static IEnumerable<GroundJudgement> Judged(ElevationGrid grid, FieldArea field, LayoutOptions layout, CancellationToken stop)
    {
        IReadOnlyList<Envelope> places = Places(grid.Frame, field.Boundary);
        // A place beyond the ground is none; planning will say so.
        IEnumerable<ElevationGrid> grounds = places.Count == 1 ? [grid] : places.Select(p => GridWindow.Crop(grid, p)).OfType<ElevationGrid>();
        return grounds.SelectMany(g => GroundSuitability.Judge(GroundInspection.Inspect(g, stop), layout.Spacing, layout.DesignFall))
            .GroupBy(j => j.About).Select(g => g.MaxBy(j => j.Grade)!);
    }

    private static bool Counts(GroundJudgement judgement) => !ToldAlready.Contains(judgement.About)
        && (judgement.Grade == GroundGrade.NotGoodEnough || (judgement.Grade == GroundGrade.WithCare && judgement.About is ("cell" or "cover")));
}
