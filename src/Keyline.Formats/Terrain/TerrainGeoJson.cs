using System.Globalization;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes contours, hollows and catchments as GeoJSON (RFC 7946): longitude and latitude, heights in metres.</summary>
/// <remarks>
/// <para>Units: degrees to seven decimals, about a centimetre; metres, square and cubic metres as the names of the properties
/// say.</para>
/// <para>Promises: the same input gives the same bytes. What the file was made from stands in its member "keyline".</para>
/// </remarks>
public static class TerrainGeoJson
{
    private const int FormatVersion = 1;

    /// <summary>Writes contours: one line each, high ground on its left, with the property height_m.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="contours">The lines.</param>
    /// <param name="ground">The ground they lie on.</param>
    /// <param name="crs">The projected system of the ground.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteContours(
        Stream stream, IReadOnlyList<ContourLine> contours, ElevationGrid ground, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(contours);
        Write(
            stream,
            contours.Select((c, i) => new JsonFeature(Id("contour", i), c.Line, json =>
            {
                json.WriteString("kind", "contour");
                JsonText.Number(json, "height_m", c.Height, 3);
                json.WriteBoolean("closed", c.IsClosed);
            })),
            ground,
            crs,
            provenance,
            cancellationToken);
    }

    /// <summary>Writes hollows: the deepest place of each, with its area, depth, volume and spill height.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="depressions">The hollows.</param>
    /// <param name="ground">The ground they lie in.</param>
    /// <param name="crs">The projected system of the ground.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteDepressions(
        Stream stream, IReadOnlyList<Depression> depressions, ElevationGrid ground, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(depressions);
        ArgumentNullException.ThrowIfNull(ground);
        GridFrame f = ground.Frame;
        Write(
            stream,
            depressions.Select((d, i) => new JsonFeature(
                Id("depression", i),
                new Point(f.CentreX(d.DeepestColumn), f.CentreY(d.DeepestRow), d.SpillHeight - d.Depth),
                json =>
                {
                    json.WriteString("kind", "depression");
                    JsonText.Number(json, "area_m2", d.Area, 2);
                    JsonText.Number(json, "depth_m", d.Depth, 3);
                    JsonText.Number(json, "volume_m3", d.Volume, 3);
                    JsonText.Number(json, "spill_height_m", d.SpillHeight, 3);
                })),
            ground,
            crs,
            provenance,
            cancellationToken);
    }

    /// <summary>Writes the outline of every catchment, with its number and area.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="labels">Labels as <see cref="Catchments"/> gives them.</param>
    /// <param name="count">How many catchments were asked for.</param>
    /// <param name="ground">The ground they lie on.</param>
    /// <param name="crs">The projected system of the ground.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteCatchments(
        Stream stream, Grid<int> labels, int count, ElevationGrid ground, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(labels);
        Write(
            stream,
            Enumerable.Range(1, count).Select(label => (Label: label, Outline: Catchments.Outline(labels, label, cancellationToken))).Where(c => !c.Outline.IsEmpty)
                .Select(c => new JsonFeature(Id("catchment", c.Label - 1), c.Outline, json =>
                {
                    json.WriteString("kind", "catchment");
                    json.WriteNumber("catchment", c.Label);
                    JsonText.Number(json, "area_m2", c.Outline.Area, 2);
                })),
            ground,
            crs,
            provenance,
            cancellationToken);
    }

    private static void Write(Stream stream, IEnumerable<JsonFeature> features, ElevationGrid ground, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(ground);
        FeatureCollectionJson.Write(stream, features, ground, crs, provenance, FormatVersion, cancellationToken);
    }

    private static string Id(string kind, int index) => string.Create(CultureInfo.InvariantCulture, $"{kind}-{index + 1}");
}
