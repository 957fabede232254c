using Keyline.Field;
using Keyline.Layout;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Guidance;

/// <summary>A line to be made ready for guidance.</summary>
/// <param name="Id">Its short name.</param>
/// <param name="Sequence">Its place in the driving order, from 1.</param>
/// <param name="Line">The line in driving direction, projected metres; heights may be NaN.</param>
/// <param name="Note">What there is to say of it, short; may be empty.</param>
public sealed record PlannedPath(string Id, int Sequence, LineString Line, string Note = "")
{
    /// <summary>A line of a layout.</summary>
    /// <param name="line">The line.</param>
    public static PlannedPath Of(RipLine line)
    {
        ArgumentNullException.ThrowIfNull(line);
        return new PlannedPath(line.Id, line.Sequence, line.Line, Describe(line.Offset, line.Side, line.GuideId, line.Measures.MaximumGrade));
    }

    /// <summary>What there is to say of a line of a layout, short.</summary>
    /// <param name="offset">Distance from its guide, metres.</param>
    /// <param name="side">Side of the guide.</param>
    /// <param name="guide">Id of the guide; may be empty.</param>
    /// <param name="grade">Steepest grade along it, percent, or NaN.</param>
    public static string Describe(double offset, GuideSide side, string guide, double grade)
    {
        ArgumentNullException.ThrowIfNull(guide);
        string beside = guide.Length == 0 ? ""
            : offset > 0 ? FormattableString.Invariant($"{offset:0.##} m {(side == GuideSide.Upslope ? "upslope" : "downslope")} of guide {guide}")
            : $"on guide {guide}";
        string steep = double.IsFinite(grade) ? FormattableString.Invariant($"grade at most {grade:F1} %") : "";
        return beside.Length > 0 && steep.Length > 0 ? $"{beside}, {steep}" : beside + steep;
    }
}

/// <summary>A line, or a part of one, as a display holds it.</summary>
public sealed class GuidanceLine
{
    /// <summary>Name: the planned line's, with the part behind a hyphen where it was divided ("R012-2").</summary>
    public required string Name { get; init; }

    /// <summary>Name of the planned line.</summary>
    public required string SourceId { get; init; }

    /// <summary>Place of the planned line in the driving order, from 1.</summary>
    public required int Sequence { get; init; }

    /// <summary>Which part of the planned line, from 1.</summary>
    public int Part { get; init; } = 1;

    /// <summary>In how many parts the planned line comes.</summary>
    public int Parts { get; init; } = 1;

    /// <summary>Whether it is straight within tolerance, so that its two ends (an AB line) say all of it.</summary>
    public bool IsStraight { get; init; }

    /// <summary>The points in driving direction, projected metres, held packed; heights NaN where they are not known.</summary>
    public required LineString Path { get; init; }

    /// <summary>What there is to say of it, short; may be empty.</summary>
    public string Note { get; init; } = "";
}

/// <summary>Lines made ready for guidance, with the field they are in.</summary>
/// <remarks>Units: projected metres. Promises: in driving order; every point of a planned line, shifted to whoever follows it,
/// lies within the tolerance of its parts.</remarks>
public sealed class GuidanceSet
{
    /// <summary>Puts a set together.</summary>
    /// <param name="lines">The lines in driving order.</param>
    /// <param name="swathWidth">Distance between passes, metres; NaN where it is not known.</param>
    /// <param name="fieldName">Name of the field, may be empty.</param>
    /// <param name="boundary">The field's outline, or null.</param>
    /// <param name="avoided">What to stay away from.</param>
    /// <exception cref="GroundDataException">A name holds a control character or half a character, which no format can carry; or a line has no length,
    /// or a coordinate that is no number, which no display can follow.</exception>
    public GuidanceSet(IReadOnlyList<GuidanceLine> lines, double swathWidth = double.NaN, string fieldName = "", Geometry? boundary = null, IReadOnlyList<AvoidedArea>? avoided = null)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(fieldName);
        CheckName(fieldName, "The field's name");
        foreach (GuidanceLine line in lines)
        {
            CheckName(line.Name, "The name of a line");
            LineRules.Check(line.Path, "Line " + line.Name);
        }

        foreach (AvoidedArea area in avoided ?? [])
        {
            CheckName(area.Name, "The name of an avoided area");
        }

        Lines = lines;
        SwathWidth = swathWidth;
        FieldName = fieldName;
        Boundary = boundary;
        Avoided = avoided ?? [];
    }

    /// <summary>The lines in driving order.</summary>
    public IReadOnlyList<GuidanceLine> Lines { get; }

    /// <summary>Distance between passes, metres; NaN where it is not known.</summary>
    public double SwathWidth { get; }

    /// <summary>Name of the field; may be empty.</summary>
    public string FieldName { get; }

    /// <summary>The field's outline, or null.</summary>
    public Geometry? Boundary { get; }

    /// <summary>What to stay away from.</summary>
    public IReadOnlyList<AvoidedArea> Avoided { get; }

    /// <summary>What has to be read before anything is driven, short; may be empty.</summary>
    public string Notice { get; init; } = "";

    /// <summary>What was done in making them ready, one sentence each.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>What was counted and measured in making them ready.</summary>
    public GuidanceFigures Figures { get; init; } = new();

    private static void CheckName(string name, string what)
    {
        for (int i = 0; i < name.Length; i++)
        {
            bool pair = char.IsHighSurrogate(name[i]) && i + 1 < name.Length && char.IsLowSurrogate(name[i + 1]);
            if (char.IsControl(name[i]) || name[i] is '\uFFFE' or '\uFFFF' || (char.IsSurrogate(name[i]) && !pair))
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"{what} \"{string.Concat(name.Where(c => !char.IsControl(c) && !char.IsSurrogate(c)))}\" holds a character (U+{(int)name[i]:X4}) that guidance files cannot carry: take it out of the name."));
            }

            i += pair ? 1 : 0;
        }
    }
}

/// <summary>What was counted and measured in making lines ready.</summary>
public sealed record GuidanceFigures
{
    /// <summary>Planned lines.</summary>
    public int PlannedLines { get; init; }

    /// <summary>Planned lines that had to be divided.</summary>
    public int DividedLines { get; init; }

    /// <summary>Lines that are straight within tolerance.</summary>
    public int StraightLines { get; init; }

    /// <summary>Points of the planned lines.</summary>
    public int PointsBefore { get; init; }

    /// <summary>Points of the lines made ready.</summary>
    public int PointsAfter { get; init; }

    /// <summary>Most points in one line.</summary>
    public int MostPoints { get; init; }

    /// <summary>Leads that were cut short.</summary>
    public int LeadsCut { get; init; }

    /// <summary>What the hardest line asks of the steering.</summary>
    public SteeringDemand Steering { get; init; } = SteeringDemand.None;

    /// <summary>Name of the planned line that asks most of the steering; empty where none turns.</summary>
    public string HardestLine { get; init; } = "";
}
