using ProjNet.CoordinateSystems;

namespace Keyline.Formats;

/// <summary>A projection as ProjNET can do it, with a scale and an offset that it cannot do itself.</summary>
/// <param name="System">The projected system, in metres.</param>
/// <param name="Scale">What its coordinates are multiplied by.</param>
/// <param name="East">Metres added east after that.</param>
/// <param name="North">Metres added north after that.</param>
/// <param name="Meridian">Its central meridian, degrees.</param>
/// <remarks>
/// Lambert's conic with one parallel and a scale factor is done as the same cone with both parallels on that one, scaled
/// about its origin: the two are the same mapping (Snyder, USGS Professional Paper 1395, 1987, equations 15-1 to 15-5).
/// </remarks>
internal readonly record struct PlaneMapping(ProjectedCoordinateSystem System, double Scale, double East, double North, double Meridian)
{
    /// <summary>Settles how a projected system is computed.</summary>
    /// <exception cref="GroundDataException">A projection that is not worked in here.</exception>
    public static PlaneMapping Of(ProjectedCoordinateSystem source)
    {
        IProjection projection = source.Projection;
        string method = projection.ClassName.Replace(' ', '_').ToUpperInvariant() switch
        {
            "TRANSVERSE_MERCATOR" or "GAUSS_KRUGER" => "Transverse_Mercator",
            "LAMBERT_CONFORMAL_CONIC" or "LAMBERT_CONFORMAL_CONIC_1SP" or "LAMBERT_CONFORMAL_CONIC_2SP" => Lambert,
            "ALBERS" or "ALBERS_CONIC_EQUAL_AREA" => "Albers_Conic_Equal_Area",
            "OBLIQUE_STEREOGRAPHIC" or "DOUBLE_STEREOGRAPHIC" => "Oblique_Stereographic",
            _ => throw new GroundDataException(
                $"The projection {projection.ClassName} of \"{source.Name}\" is not one this program works in: reproject the elevation to the UTM zone of the field."),
        };
        Dictionary<string, double> given = new(StringComparer.OrdinalIgnoreCase);
        for (int i = 0; i < projection.NumParameters; i++)
        {
            given[projection.GetParameter(i).Name] = projection.GetParameter(i).Value;
        }

        double unit = source.LinearUnit.MetersPerUnit;
        double east = given.GetValueOrDefault("false_easting") * unit;
        double north = given.GetValueOrDefault("false_northing") * unit;
        double scale = 1.0;
        if (method == Lambert)
        {
            double origin = given.TryGetValue("latitude_of_origin", out double lat) ? lat : given.GetValueOrDefault("standard_parallel_1");
            scale = given.TryGetValue("scale_factor", out double k) ? k : 1.0;
            given.Remove("scale_factor");
            given["latitude_of_origin"] = origin;
            given.TryAdd("standard_parallel_1", origin);
            given.TryAdd("standard_parallel_2", given["standard_parallel_1"]);
        }

        given["false_easting"] = 0;
        given["false_northing"] = 0;
        CoordinateSystemFactory factory = new();
        List<ProjectionParameter> parameters = given.Select(p => new ProjectionParameter(p.Key, p.Value)).ToList();
        IProjection rebuilt = factory.CreateProjection(projection.Name, method, parameters);
        ProjectedCoordinateSystem metric = factory.CreateProjectedCoordinateSystem(
            source.Name, source.GeographicCoordinateSystem, rebuilt, LinearUnit.Metre, new AxisInfo("Easting", AxisOrientationEnum.East), new AxisInfo("Northing", AxisOrientationEnum.North));
        double meridian = given.TryGetValue("central_meridian", out double lon) ? lon : given.GetValueOrDefault("longitude_of_center");
        return new PlaneMapping(metric, scale, east, north, meridian);
    }

    private const string Lambert = "Lambert_Conformal_Conic_2SP";
}
