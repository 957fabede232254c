using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console.Cli;

/// <summary>What an inspection doubts of the ground, so that whoever plans on it is told as well.</summary>
internal static class GroundDoubts
{
    // Holes and spikes are told of when the ground is mended.
    private static readonly string[] ToldAlready = ["holes", "spikes"];

    /// <summary>The ground with the doubts among its notes: what is not good enough, and cells and cover that need care.</summary>
    public static ElevationSource Told(ElevationSource ground, LayoutOptions layout, CancellationToken stop)
    {
        IReadOnlyList<GroundJudgement> judgements = GroundSuitability.Judge(GroundInspection.Inspect(ground.Grid, stop), layout.Spacing, layout.DesignFall);
        return ground.With(ground.Grid, [.. ground.Notes, .. judgements.Where(Counts).Select(j => j.Sentence)]);
    }

    private static bool Counts(GroundJudgement judgement) => !ToldAlready.Contains(judgement.About)
        && (judgement.Grade == GroundGrade.NotGoodEnough || (judgement.Grade == GroundGrade.WithCare && judgement.About is ("cell" or "cover")));
}
