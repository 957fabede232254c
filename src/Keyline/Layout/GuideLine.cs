using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Which side of its guide a line lies on.</summary>
public enum GuideSide
{
    /// <summary>On the higher side, or on the guide itself.</summary>
    Upslope,

    /// <summary>On the lower side.</summary>
    Downslope,
}

/// <summary>A line that others run parallel to: a contour of the ground that falls gently from valley toward ridge.</summary>
public sealed class GuideLine
{
    internal GuideLine(string id, LineString line, double level, bool isPinned, bool isKeyline, string reason)
    {
        Reason = reason;
        IsPinned = isPinned;
        IsKeyline = isKeyline;
        Id = id;
        Line = line;
        Level = level;
    }

    /// <summary>Short name, unique in the plan: "G1", "G2", ...</summary>
    public string Id { get; }

    /// <summary>The line, metres, Z the ground height, higher ground on its left.</summary>
    public LineString Line { get; }

    /// <summary>Height in metres of the guide where it crosses the valley floor, or its mean where it crosses none; NaN for a pinned guide.</summary>
    public double Level { get; }

    /// <summary>Whether it was given, and not chosen.</summary>
    public bool IsPinned { get; }

    /// <summary>Whether it runs through a keypoint.</summary>
    public bool IsKeyline { get; }

    /// <summary>Why it is a guide, in a few words: "through the keypoint of valley 2", "parallels of G3 reach the grade limit 46 m from it".</summary>
    public string Reason { get; }
}
