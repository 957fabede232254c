using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A guide as a pattern gives it, before it is lifted and named.</summary>
/// <param name="Line">The whole guide, projected metres.</param>
/// <param name="Level">Height of it, metres; NaN for a pinned one.</param>
/// <param name="IsPinned">Whether it was given.</param>
/// <param name="IsKeyline">Whether it runs through a keypoint.</param>
/// <param name="Reason">Why it is a guide, with other guides of the pattern written as {0}, {1} and so on.</param>
internal sealed record PatternGuide(LineString Line, double Level, bool IsPinned, bool IsKeyline, string Reason);

/// <summary>A line as a pattern gives it, before it is measured and numbered.</summary>
/// <param name="Path">The line, projected metres.</param>
/// <param name="Guide">Place of its guide among the pattern's guides, or -1 for none.</param>
/// <param name="Side">Side of the guide it lies on.</param>
/// <param name="Offset">Distance from the guide, metres.</param>
internal sealed record PatternLine(LinePath Path, int Guide, GuideSide Side, double Offset);

/// <summary>What a pattern makes of a survey; every pattern gives this and nothing else.</summary>
/// <param name="Guides">The guides that lines follow, in the order they are to be named.</param>
/// <param name="Lines">The lines, in any order.</param>
/// <param name="Levels">Number of levels and pinned lines among the guides; a level may come in several guides.</param>
/// <param name="Cost">What the choice cost.</param>
internal sealed record PatternLines(IReadOnlyList<PatternGuide> Guides, IReadOnlyList<PatternLine> Lines, int Levels, LayoutCost Cost)
{
    /// <summary>Mean length of a line, metres; 0 where there is none.</summary>
    public double MeanLength => Lines.Count == 0 ? 0 : Lines.Sum(l => l.Path.Length()) / Lines.Count;

    /// <summary>What there is to say of the lines.</summary>
    public IReadOnlyList<string> Said { get; init; } = [];
}
