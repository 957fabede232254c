using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>A line to be measured, from wherever it comes.</summary>
/// <param name="Id">Its name, for findings.</param>
/// <param name="GuideId">Lines of one guide are neighbours at one spacing; may be empty for all.</param>
/// <param name="Line">The line, projected metres.</param>
public sealed record CheckedLine(string Id, string GuideId, LineString Line);
