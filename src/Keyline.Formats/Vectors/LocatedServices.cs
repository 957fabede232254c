using Keyline.Field;

namespace Keyline.Formats;

/// <summary>Reads located services, as surveyed from the marks on the ground, as areas to avoid with the zone in which digging is by hand only.</summary>
/// <remarks>
/// <para>Units: WGS 84 longitude and latitude in; metres of the ground's coordinate system out. Promises: every point, line and area of the file is kept off by the zone's width and by what
/// the shanks reach to the side besides, or by its own <c>setback_m</c> where that is more. What cannot be used is refused with one sentence.</para>
/// <para>Cost: that of the text. Source: RFC 7946 (2016).</para>
/// </remarks>
public static class LocatedServices
{
    /// <summary>What a service without a name is called.</summary>
    public const string NoName = "located service";

    /// <summary>Reads them from a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <param name="handDig">Width of the zone on either side, metres, above 0.</param>
    /// <param name="beside">What the shanks reach to either side of the line driven, metres, 0 or more.</param>
    /// <exception cref="GroundDataException">The file is absent, not GeoJSON in longitude and latitude, or holds no shape.</exception>
    public static IReadOnlyList<AvoidedArea> Read(string path, GroundCrs crs, double handDig, double beside) => From(GeoJsonFeatures.ReadFile(path, "located services"), Path.GetFileName(path), crs, handDig, beside);

    /// <summary>Reads them from a stream.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <param name="handDig">Width of the zone on either side, metres, above 0.</param>
    /// <param name="beside">What the shanks reach to either side of the line driven, metres, 0 or more.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or holds no shape.</exception>
    public static IReadOnlyList<AvoidedArea> Read(Stream stream, string name, GroundCrs crs, double handDig, double beside)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return From(GeoJsonFeatures.Read(stream, name), name, crs, handDig, beside);
    }

    private static List<AvoidedArea> From(IReadOnlyList<GeoJsonFeature> features, string name, GroundCrs crs, double handDig, double beside)
    {
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(handDig);
        ArgumentOutOfRangeException.ThrowIfNegative(beside);
        List<AvoidedArea> services = [];
        foreach (GeoJsonFeature feature in features.Where(f => !f.Shape.IsEmpty))
        {
            string what = FieldReader.Printable(feature.Text("name") ?? feature.Text("kind") ?? "");
            double own = feature.NumberOf("setback_m") ?? 0;
            if (!(own is >= 0 and <= 10_000))
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: feature {feature.Number} has the setback {own:0.###}; write it as metres from 0 to 10000."));
            }

            NetTopologySuite.Geometries.Geometry shape = FieldReader.ToGround(feature.Shape, crs, name);
            if (!shape.IsValid)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: feature {feature.Number} crosses or touches itself; redraw it."));
            }

            services.Add(new AvoidedArea(shape, Math.Max(own, handDig + beside), what.Length > 0 ? what : NoName) { HandDig = handDig });
        }

        return services.Count > 0 ? services : throw new GroundDataException($"{name}: it holds no point, line or area: give the services as surveyed from the marks on the ground.");
    }
}
