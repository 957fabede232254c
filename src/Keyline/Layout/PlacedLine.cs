using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A line that found its place, before it is measured and numbered.</summary>
internal sealed record PlacedLine(LinePath Path, GuideKey Guide, GuideSide Side, double Offset);

/// <summary>Which guide a line is parallel to: a piece of a level of a part, or a pinned line (part -1).</summary>
internal readonly record struct GuideKey(int Part, int Level, int Piece);
