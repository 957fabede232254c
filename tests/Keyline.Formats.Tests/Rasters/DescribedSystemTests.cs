using System.Diagnostics;
using System.Text.Json;
using Keyline.Elevation;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>Rasters in systems without an EPSG code, as .prj files often give them: described so that we and GDAL read them.</summary>
public sealed class DescribedSystemTests : IDisposable
{
    private const string Nad83 = "GEOGCS[\"GCS_North_American_1983\",DATUM[\"D_North_American_1983\",SPHEROID[\"GRS_1980\",6378137.0,298.257222101]],PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]";

    private readonly string _path = Path.GetTempFileName();

    public static TheoryData<string, string, double, double, double> Systems => new()
    {
        { "Transverse_Mercator", "PARAMETER[\"False_Easting\",500000.0],PARAMETER[\"False_Northing\",0.0],PARAMETER[\"Central_Meridian\",-105.0],PARAMETER[\"Scale_Factor\",0.9996],PARAMETER[\"Latitude_Of_Origin\",0.0]", 1.0, 480_000, 4_430_000 },
        { "Lambert_Conformal_Conic", "PARAMETER[\"False_Easting\",6561666.666666666],PARAMETER[\"False_Northing\",1640416.666666667],PARAMETER[\"Central_Meridian\",-120.5],PARAMETER[\"Standard_Parallel_1\",37.06666666666667],PARAMETER[\"Standard_Parallel_2\",38.43333333333333],PARAMETER[\"Latitude_Of_Origin\",36.5]", 0.3048006096012192, 6_500_000, 1_900_000 },
        { "Lambert_Conformal_Conic_1SP", "PARAMETER[\"latitude_of_origin\",40],PARAMETER[\"central_meridian\",-100],PARAMETER[\"scale_factor\",0.9999],PARAMETER[\"false_easting\",300000],PARAMETER[\"false_northing\",100000]", 1.0, 320_000, 130_000 },
        { "Albers", "PARAMETER[\"False_Easting\",0.0],PARAMETER[\"False_Northing\",-4000000.0],PARAMETER[\"Central_Meridian\",-120.0],PARAMETER[\"Standard_Parallel_1\",34.0],PARAMETER[\"Standard_Parallel_2\",40.5],PARAMETER[\"Latitude_Of_Origin\",0.0]", 1.0, 20_000, -100_000 },
        { "Oblique_Stereographic", "PARAMETER[\"latitude_of_origin\",46.5],PARAMETER[\"central_meridian\",-66.5],PARAMETER[\"scale_factor\",0.999912],PARAMETER[\"false_easting\",2500000],PARAMETER[\"false_northing\",7500000]", 1.0, 2_520_000, 7_480_000 },
    };

    public void Dispose() => File.Delete(_path);

    [Theory]
    [MemberData(nameof(Systems))]
    public void Write_SystemWithoutACode_IsReadBackAtTheSamePlace(string method, string parameters, double unit, double x, double y)
    {
        GroundCrs crs = Write(method, parameters, unit, x, y);
        ElevationSource back = ElevationReader.Read(_path);
        Assert.Null(back.Crs.EpsgCode);
        Assert.Equal(x * unit, back.Grid.Frame.West, 1e-6);
        (double lon, double lat) = crs.ToLonLat(x * unit, y * unit);
        (double backLon, double backLat) = back.Crs.ToLonLat(back.Grid.Frame.West, back.Grid.Frame.North);
        Assert.Equal(lon, backLon, 1e-9);
        Assert.Equal(lat, backLat, 1e-9);
    }

    [Theory]
    [MemberData(nameof(Systems))]
    public void Write_SystemWithoutACode_IsReadByGdalAtTheSamePlace(string method, string parameters, double unit, double x, double y)
    {
        GroundCrs crs = Write(method, parameters, unit, x, y);
        JsonElement corner = Info().GetProperty("wgs84Extent").GetProperty("coordinates")[0][0];
        (double lon, double lat) = crs.ToLonLat(x * unit, y * unit);

        // GDAL prints seven decimals.
        Assert.Equal(lon, corner[0].GetDouble(), 1e-7);
        Assert.Equal(lat, corner[1].GetDouble(), 1e-7);
    }

    private GroundCrs Write(string method, string parameters, double unit, double x, double y)
    {
        GroundCrs crs = GroundCrs.FromWkt(FormattableString.Invariant($"PROJCS[\"A_system_of_its_own\",{Nad83},PROJECTION[\"{method}\"],{parameters},UNIT[\"own\",{unit:R}]]"));
        using FileStream stream = File.Create(_path);
        GeoTiffWriter.Write(stream, ElevationGrid.Copy(new GridFrame(2, 2, 10 * unit, x * unit, y * unit), [1, 2, 3, 4]), crs);
        return crs;
    }

    private JsonElement Info()
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo("gdalinfo", ["-json", _path]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            string text = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            return JsonDocument.Parse(text).RootElement;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip("GDAL's program gdalinfo is not on this machine (Debian: apt install gdal-bin).");
            throw;
        }
    }
}
