using NetTopologySuite.Geometries;

namespace Keyline.Field;

/// <summary>A line that must be a guide: drawn by the user, surveyed, or the edge of a fence or road.</summary>
/// <param name="Line">Where it runs, projected metres.</param>
/// <param name="IsRipped">Whether the implement runs along it; false for what is followed and not ripped, as a fence.</param>
public sealed record PinnedGuide(LineString Line, bool IsRipped = true);
