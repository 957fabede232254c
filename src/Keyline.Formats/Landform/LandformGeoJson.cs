using Keyline.Elevation;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes what is read from the landform as GeoJSON (RFC 7946): longitude and latitude, heights in metres.</summary>
/// <remarks>
/// <para>Units: degrees to seven decimals, about a centimetre; metres, percent and square metres as the names of the properties
/// say.</para>
/// <para>Promises: the same reading gives the same bytes; valleys, ridges, keypoints and keylines have the fields they have in a
/// plan's file. What the file was made from stands in its member "keyline".</para>
/// </remarks>
public static class LandformGeoJson
{
    private const int FormatVersion = 1;

    /// <summary>Writes a reading.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="landform">The reading.</param>
    /// <param name="generalGuide">The line to start from where there is no keypoint; null for none.</param>
    /// <param name="ground">The ground it was read from.</param>
    /// <param name="crs">The projected system of the ground.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void Write(
        Stream stream, LandformReading landform, LineString? generalGuide, ElevationGrid ground, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(landform);
        ArgumentNullException.ThrowIfNull(ground);
        IEnumerable<JsonFeature> features = LandformFeatures.Of(landform);
        FeatureCollectionJson.Write(
            stream, generalGuide is null ? features : features.Append(LandformFeatures.GeneralGuide(generalGuide)), ground, crs, provenance, FormatVersion, cancellationToken);
    }
}
