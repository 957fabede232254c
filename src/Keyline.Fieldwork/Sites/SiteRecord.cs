using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>A shape with what a file says of it, as text.</summary>
/// <param name="Shape">Projected metres.</param>
/// <param name="Values">Attributes by name, as written; empty text where a cell is empty.</param>
/// <param name="Where">Where it stands in its file, for messages, as "soil.geojson, feature 3".</param>
public sealed record SiteRecord(Geometry Shape, IReadOnlyDictionary<string, string> Values, string Where);

/// <summary>A piece of land and what is known of it.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Shape">Its outline, projected metres.</param>
/// <param name="Facts">What is known.</param>
public sealed record SoilSite(string Name, Geometry Shape, SiteFacts Facts);
