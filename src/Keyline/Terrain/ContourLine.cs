using NetTopologySuite.Geometries;

namespace Keyline.Terrain;

/// <summary>A line of equal height.</summary>
/// <param name="Line">Its course, metres, with the height as z; a closed line repeats its first point.</param>
/// <param name="Height">Its height, metres.</param>
/// <param name="IsClosed">Whether it closes on itself; otherwise it ends at the grid's edge or beside missing ground.</param>
public sealed record ContourLine(LineString Line, double Height, bool IsClosed);
