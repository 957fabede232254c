using Keyline.Landform;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Distance;

namespace Keyline.Layout.Parallels;

/// <summary>Why each guide of a layout is one.</summary>
/// <remarks>
/// <para>Units: metres. Cost: the length of the guides for each pair whose boxes lie near each other.</para>
/// </remarks>
internal sealed class GuideReasons
{
    private readonly FieldSurvey _survey;
    private readonly IReadOnlyList<GuideBlock> _blocks;
    private readonly IReadOnlyList<GuideKey> _keys;
    private readonly LineString?[] _lines;
    private readonly List<int>[] _valleys;

    /// <summary>Reasons for guides.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="blocks">Its pieces.</param>
    /// <param name="keys">The guides, in the order of the plan.</param>
    public GuideReasons(FieldSurvey survey, IReadOnlyList<GuideBlock> blocks, IReadOnlyList<GuideKey> keys)
    {
        (_survey, _blocks, _keys) = (survey, blocks, keys);
        GeometryFactory factory = survey.Field.Boundary.Factory;
        _lines = [.. keys.Select(k => k.Part < 0 ? null : factory.CreateLineString(blocks[k.Part].Levels[k.Level].Pieces[k.Piece].ToCoordinates()))];
        _valleys = [.. keys.Select(_ => new List<int>())];
        foreach (Keypoint keypoint in survey.Reading.Landform.Keypoints.Where(k => k.Class == KeypointClass.Clear && survey.Field.Boundary.Covers(k.Location)))
        {
            int nearest = Enumerable.Range(0, keys.Count).Where(k => _lines[k] is not null && blocks[keys[k].Part].Levels[keys[k].Level].IsKeyline).OrderBy(k => _lines[k]!.Distance(keypoint.Location)).FirstOrDefault(-1);
            if (nearest >= 0 && _lines[nearest]!.Distance(keypoint.Location) <= survey.Options.Spacing)
            {
                _valleys[nearest].Add(keypoint.ValleyNumber);
            }
        }
    }

    /// <summary>The guide as a line.</summary>
    public LineString LineOf(int guide) => _lines[guide]!;

    /// <summary>Whether a guide runs within a spacing of a clear keypoint.</summary>
    public bool IsKeyline(int guide) => _valleys[guide].Count > 0;

    // The nearest guide of another level of the same part, and how near; -1 for none. Those whose boxes lie further off than one found are passed over.
    private (int Guide, double Distance) Nearest(int guide)
    {
        (int Guide, double Distance) best = (-1, double.PositiveInfinity);
        IndexedFacetDistance near = new(_lines[guide]!);
        Envelope box = _lines[guide]!.EnvelopeInternal;
        foreach ((int k, double apart) in Enumerable.Range(0, _keys.Count).Where(k => _keys[k].Part == _keys[guide].Part && _keys[k].Level != _keys[guide].Level)
            .Select(k => (k, box.Distance(_lines[k]!.EnvelopeInternal))).OrderBy(k => k.Item2))
        {
            if (apart >= best.Distance)
            {
                break;
            }

            double distance = near.Distance(_lines[k]!);
            if (distance < best.Distance)
            {
                best = (k, distance);
            }
        }

        return best;
    }

    /// <summary>Why it is a guide, other guides written as {0}, {1} and so on.</summary>
    /// <param name="guide">Its place in the plan.</param>
    /// <param name="bandsOf">The bands of a block; null where guides were given and not chosen.</param>
    public string Of(int guide, Func<int, IReadOnlyList<GuideBand>>? bandsOf)
    {
        GuideKey key = _keys[guide];
        if (IsKeyline(guide))
        {
            int[] valleys = [.. _valleys[guide].Order()];
            return valleys.Length == 1 ? FormattableString.Invariant($"through the keypoint of valley {valleys[0]}") : $"through the keypoints of valleys {string.Join(", ", valleys)}";
        }

        GuideBlock block = _blocks[key.Part];
        if (block.Levels[key.Level].IsKeyline)
        {
            return "level with a keypoint";
        }

        if (bandsOf is null)
        {
            return "given";
        }

        // The guide of another level that lies nearest could have had this ground and does not.
        (int other, double distance) = Nearest(guide);
        if (other < 0)
        {
            return "the best of its ground, which has no keypoint";
        }

        bool above = _keys[other].Level > key.Level;
        IReadOnlyList<GuideBand> bands = bandsOf(key.Part);
        GuideBand? band = bands.Where(b => b.Guide == key.Level).OrderBy(b => above ? -b.High : b.Low).FirstOrDefault();
        string failing = band is null ? "serve it less well" : block.Survey.Failing(_keys[other].Level, band, _survey.Options.Prices) switch
        {
            GuideFailing.TooSteep => "reach the grade limit",
            GuideFailing.WrongDrift => "would fall toward the valley",
            GuideFailing.TooTight => "would bend too tightly",
            GuideFailing.OutOfReach => "do not reach it",
            _ => "would end more often",
        };
        return FormattableString.Invariant($"{distance:F0} m {(above ? "below" : "above")} {{{other}}}, whose parallels here {failing}");
    }
}
