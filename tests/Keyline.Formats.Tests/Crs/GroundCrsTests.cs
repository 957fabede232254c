using CsCheck;

namespace Keyline.Formats.Tests.Crs;

public sealed class GroundCrsTests
{
    // To first order convergence is the difference in longitude from the central meridian times the sine of the latitude (Snyder 1987,
    // Map projections: a working manual, USGS Professional Paper 1395, chapter 8); the cone's constant times it on a Lambert conic (chapter 15): 0.5771 in EPSG:3358.
    [Theory]
    [InlineData(32614, -98, 38.7, 0.6252)]
    [InlineData(32614, -99, 38.7, 0)]
    [InlineData(32614, -100, 38.7, -0.6252)]
    [InlineData(32756, 154, -33.9, -0.5578)]
    [InlineData(3358, -78, 35.1, 0.5771)]
    public void Convergence_IsThatOfTheProjection(int code, double lon, double lat, double expected)
    {
        GroundCrs crs = GroundCrs.FromEpsg(code);
        (double x, double y) = crs.FromLonLat(lon, lat);
        Assert.Equal(expected, crs.ConvergenceAt(new NetTopologySuite.Geometries.Coordinate(x, y)), 2e-3);
    }

    // GeographicLib's GeoConvert documentation; the rest Krueger's series of order 6, computed apart from this library.
    [Theory]
    [InlineData(32638, 44.4, 33.3, 444140.5449, 3684706.3555)]
    [InlineData(32612, -110.5, 44.5, 539748.884700, 4927530.744817)]
    [InlineData(32618, -75.5, 40.5, 457632.986468, 4483374.791068)]
    [InlineData(32756, 151.2, -33.9, 333568.941012, 6247473.336844)]
    [InlineData(32613, -105, 40, 500000, 4427757.218738)]
    public void FromLonLat_Utm_MatchesPublishedValues(int code, double lon, double lat, double x, double y)
    {
        GroundCrs crs = GroundCrs.FromEpsg(code);
        (double gotX, double gotY) = crs.FromLonLat(lon, lat);
        Assert.Equal(x, gotX, 1e-4);
        Assert.Equal(y, gotY, 1e-4);
        (double backLon, double backLat) = crs.ToLonLat(gotX, gotY);
        Assert.Equal(lon, backLon, 1e-9);
        Assert.Equal(lat, backLat, 1e-9);
    }

    // PROJ 9.1.1 by EPSG code. The last three step from another datum by seven parameters; PROJ may choose another edition of them.
    [Theory]
    [InlineData(3358, -79.1, 35.1, 600484.654394, 149760.033923, 1e-3)]
    [InlineData(3794, 15.8, 46.3, 561628.616821, 129230.323453, 1e-3)]
    [InlineData(26910, -122.3, 36.1, 563010.073537, 3995266.799771, 1e-3)]
    [InlineData(25832, 9.9, 48.2, 566875.750690, 5338921.352201, 1e-3)]
    [InlineData(2193, 173.2, -41.5, 1616692.558243, 5405716.472986, 1e-3)]
    [InlineData(3338, -150, 61, 215490.151279, 1230626.735328, 1e-3)]
    [InlineData(2154, 2.5, 46.9, 661936.677217, 6644544.619729, 1e-3)]
    [InlineData(27700, 1.7160519903750366, 52.65797859857984, 651409.903, 313177.270, 1e-3)]
    [InlineData(28992, 5.6, 52.1, 169580.553680, 456882.945699, 0.01)]
    [InlineData(31370, 4.4, 50.8, 152202.884089, 165505.135524, 0.01)]
    public void FromLonLat_NationalSystems_AgreeWithProj(int code, double lon, double lat, double x, double y, double tolerance)
    {
        (double gotX, double gotY) = GroundCrs.FromEpsg(code).FromLonLat(lon, lat);
        Assert.Equal(x, gotX, tolerance);
        Assert.Equal(y, gotY, tolerance);
    }

    // US survey foot, 1200/3937 m (Federal Register, 1959 and 2020). PROJ gives this place as 6561666.667, 1895294.395960 feet.
    [Fact]
    public void FromLonLat_FootSystem_IsInMetres()
    {
        GroundCrs crs = GroundCrs.FromEpsg(2227);
        Assert.Equal(0.304800609601, crs.MetresPerUnit, 1e-12);
        (double x, double y) = crs.FromLonLat(-120.5, 37.2);
        Assert.Equal(6561666.667 * 1200 / 3937, x, 1e-3);
        Assert.Equal(1895294.395960 * 1200 / 3937, y, 1e-3);
        Assert.Contains("UNIT[\"US survey foot\",0.304800609601219", crs.Wkt, StringComparison.Ordinal);
        AssertSame(crs, GroundCrs.FromWkt(crs.Wkt), -120.7, 37.3);
    }

    // IOGP, Geomatics Guidance Note 7 part 2 (373-7-2, editions of the 2010s), transverse Mercator, prints 577274.99, 69740.50 for 50.5 N 0.5 E on OSGB 1936, 8 mm from the exact series.
    // Ordnance Survey, A Guide to Coordinate Systems in Great Britain (editions since 1999), annex C, to the millimetre.
    [Theory]
    [InlineData(0.5, 50.5, 577274.99, 69740.50, 0.02)]
    [InlineData(1 + (43 / 60.0) + (4.5177 / 3600), 52 + (39 / 60.0) + (27.2531 / 3600), 651409.903, 313177.270, 0.001)]
    public void NationalGrid_OnItsOwnDatum_MatchesPublishedExamples(double lon, double lat, double x, double y, double tolerance)
    {
        GroundCrs crs = GroundCrs.FromEpsg(27700);
        (double wgsLon, double wgsLat) = EpsgTable.Geographic(4277)!.Shift.ToWgs84(lon, lat);
        (double gotX, double gotY) = crs.FromLonLat(wgsLon, wgsLat);
        Assert.Equal(x, gotX, tolerance);
        Assert.Equal(y, gotY, tolerance);
    }

    // IOGP, Geomatics Guidance Note 7 part 2 (373-7-2, editions of the 2010s), Lambert conic with two parallels (Texas, US survey feet) and with one (Jamaica).
    // Snyder, USGS Professional Paper 1395 (1987), transverse Mercator on Clarke 1866; value from memory.
    // The last is PROJ 9.1.1 for a parallel with a scale factor: +proj=lcc +lat_1=46.8 +lat_0=46.8 +lon_0=2.3372 +k_0=0.99987742.
    [Theory]
    [InlineData(Clarke, "Lambert_Conformal_Conic_2SP", "latitude_of_origin,27.8333333333333333;central_meridian,-99;standard_parallel_1,28.3833333333333333;standard_parallel_2,30.2833333333333333;false_easting,2000000;false_northing,0", 0.30480060960121924, -96, 28.5, 903277.79918, 77650.94254, 0.002)]
    [InlineData(Clarke, "Lambert_Conformal_Conic_1SP", "latitude_of_origin,18;central_meridian,-77;scale_factor,1;false_easting,250000;false_northing,150000", 1, -(76 + (56 / 60.0) + (37.26 / 3600)), 17 + (55 / 60.0) + (55.80 / 3600), 255966.58, 142493.51, 0.006)]
    [InlineData(Clarke, "Transverse_Mercator", "latitude_of_origin,0;central_meridian,-75;scale_factor,0.9996;false_easting,0;false_northing,0", 1, -73.5, 40.5, 127106.5, 4484124.4, 0.05)]
    [InlineData(Wgs84, "Lambert_Conformal_Conic_1SP", "latitude_of_origin,46.8;central_meridian,2.3372;scale_factor,0.99987742;false_easting,600000;false_northing,2200000", 1, 3.1, 47.2, 657792.085803, 2244743.685462, 0.001)]
    [InlineData(Wgs84, "Lambert_Conformal_Conic", "Latitude_Of_Origin,46.8;Central_Meridian,2.3372;Standard_Parallel_1,46.8;Scale_Factor,0.99987742;False_Easting,600000;False_Northing,2200000", 1, 3.1, 47.2, 657792.085803, 2244743.685462, 0.001)]
    public void FromWkt_PublishedExamples_GiveTheirCoordinates(string geographic, string method, string parameters, double unit, double lon, double lat, double x, double y, double tolerance)
    {
        string list = string.Concat(parameters.Split(';').Select(p => p.Split(',')).Select(p => $",PARAMETER[\"{p[0]}\",{p[1]}]"));
        GroundCrs crs = GroundCrs.FromWkt(FormattableString.Invariant($"PROJCS[\"example\",{geographic},PROJECTION[\"{method}\"]{list},UNIT[\"unit\",{unit:R}]]"));
        (double gotX, double gotY) = crs.FromLonLat(lon, lat);
        Assert.Equal(x, gotX, tolerance);
        Assert.Equal(y, gotY, tolerance);
        (double backLon, double backLat) = crs.ToLonLat(gotX, gotY);
        Assert.Equal(lon, backLon, 1e-8);
        Assert.Equal(lat, backLat, 1e-8);
    }

    [Fact]
    public void FromWkt_EsriFlavour_FindsTheDatumByItsName()
    {
        GroundCrs crs = GroundCrs.FromWkt("PROJCS[\"NAD_1983_UTM_Zone_11N\",GEOGCS[\"GCS_North_American_1983\",DATUM[\"D_North_American_1983\",SPHEROID[\"GRS_1980\",6378137.0,298.257222101]],PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"False_Easting\",500000.0],PARAMETER[\"False_Northing\",0.0],PARAMETER[\"Central_Meridian\",-117.0],PARAMETER[\"Scale_Factor\",0.9996],PARAMETER[\"Latitude_Of_Origin\",0.0],UNIT[\"Meter\",1.0]]");
        AssertSame(GroundCrs.FromEpsg(26911), crs, -117.1, 46.8);
        Assert.Contains("1188", crs.DatumNote, StringComparison.Ordinal);
    }

    [Fact]
    public void FromWkt_NationalGridWithoutShift_GetsThePublishedOne()
    {
        GroundCrs crs = GroundCrs.FromWkt("PROJCS[\"OSGB36 / British National Grid\",GEOGCS[\"OSGB36\",DATUM[\"Ordnance_Survey_of_Great_Britain_1936\",SPHEROID[\"Airy 1830\",6377563.396,299.3249646]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"latitude_of_origin\",49],PARAMETER[\"central_meridian\",-2],PARAMETER[\"scale_factor\",0.9996012717],PARAMETER[\"false_easting\",400000],PARAMETER[\"false_northing\",-100000],UNIT[\"metre\",1],AUTHORITY[\"EPSG\",\"27700\"]]");
        AssertSame(GroundCrs.FromEpsg(27700), crs, -3.1, 51.07);
        Assert.Equal(27700, crs.EpsgCode);
    }

    // ProjNET's parser runs for ever on a minus before a closing quote; a text that it cannot read must be refused, and soon.
    [Theory]
    [InlineData("432-")]
    [InlineData("-")]
    public async Task FromWkt_CodeThatEndsInAMinus_IsRefused(string code)
    {
        string wkt = $"GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433],AUTHORITY[\"EPSG\",\"{code}\"]]";
        await Assert.ThrowsAsync<GroundDataException>(() => Task.Run(() => GroundCrs.FromWkt(wkt)).WaitAsync(TimeSpan.FromSeconds(20)));
    }

    [Fact]
    public void FromWkt_CompoundSystem_IsItsHorizontalPart()
    {
        string horizontal = GroundCrs.FromEpsg(32610).Wkt;
        GroundCrs crs = GroundCrs.FromWkt($"COMPD_CS[\"both\",{horizontal},VERT_CS[\"NAVD88 height\",VERT_DATUM[\"North American Vertical Datum 1988\",2005],UNIT[\"metre\",1],AXIS[\"Up\",UP]]]");
        AssertSame(GroundCrs.FromEpsg(32610), crs, -122.3, 36.1);
    }

    [Fact]
    public void FromWkt_Wkt2WithCode_IsThatCode() =>
        Assert.Equal(32633, GroundCrs.FromWkt("PROJCRS[\"WGS 84 / UTM zone 33N\",BASEGEOGCRS[\"WGS 84\",DATUM[\"World Geodetic System 1984\",ELLIPSOID[\"WGS 84\",6378137,298.257223563]]],CONVERSION[\"UTM zone 33N\",METHOD[\"Transverse Mercator\"]],ID[\"EPSG\",32633]]").EpsgCode);

    // A datum without a known shift, taken for WGS 84, puts lines up to 200 m off: it must never pass.
    [Theory]
    [InlineData("PROJCS[\"x\",GEOGCS[\"g\",DATUM[\"Somewhere_1927\",SPHEROID[\"Clarke 1866\",6378206.4,294.978698213898]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"latitude_of_origin\",0],PARAMETER[\"central_meridian\",-75],PARAMETER[\"scale_factor\",1],PARAMETER[\"false_easting\",0],PARAMETER[\"false_northing\",0],UNIT[\"metre\",1]]", "Somewhere_1927")]
    [InlineData("PROJCS[\"x\",GEOGCS[\"g\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Hotine_Oblique_Mercator\"],PARAMETER[\"latitude_of_center\",4],UNIT[\"metre\",1]]", "Hotine_Oblique_Mercator")]
    [InlineData("GEOGCS[\"g\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Paris\",2.33722917],UNIT[\"degree\",0.0174532925199433]]", "Paris")]
    [InlineData("PROJCRS[\"x\",BASEGEOGCRS[\"WGS 84\"]]", "WKT 2")]
    [InlineData("PROJCS[\"cut", "not WKT")]
    [InlineData("PROJCS[\"cut\",GEOGCS[\"g\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"latitude_of", "not WKT")]
    [InlineData("GEOGCS[\"g\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]", "not WKT")]
    [InlineData("hello", "not WKT")]
    public void FromWkt_UnusableText_IsRefused(string wkt, string says) =>
        Assert.Contains(says, Assert.Throws<GroundDataException>(() => GroundCrs.FromWkt(wkt)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("EPSG:32610", 32610)]
    [InlineData("epsg:27700", 27700)]
    [InlineData(" 26915 ", 26915)]
    public void Parse_Codes_AreTaken(string text, int code) => Assert.Equal(code, GroundCrs.Parse(text).EpsgCode);

    [Theory]
    [InlineData("utm 10", "EPSG:32610")]
    [InlineData("", "EPSG:32610")]
    [InlineData("EPSG:26711", "26711")]
    [InlineData("EPSG:23030", "23030")]
    [InlineData("EPSG:999999", "999999")]
    public void Parse_Others_AreRefused(string text, string says) =>
        Assert.Contains(says, Assert.Throws<GroundDataException>(() => GroundCrs.Parse(text)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData(4326, "no shift")]
    [InlineData(26915, "without a shift (EPSG transformation 1188")]
    [InlineData(27700, "seven parameters (EPSG transformation 1314, good to about 2 m)")]
    public void DatumNote_SaysWhatWasDone(int code, string says) => Assert.Contains(says, GroundCrs.FromEpsg(code).DatumNote, StringComparison.Ordinal);

    [Theory]
    [InlineData(-120.8, 35.9, 32610)]
    [InlineData(151.2, -33.9, 32756)]
    [InlineData(180, 10, 32601)]
    [InlineData(-180, 10, 32601)]
    [InlineData(179.99, 10, 32660)]
    [InlineData(539.99, 10, 32660)]
    public void UtmAt_Places_LieInTheirZone(double lon, double lat, int code) => Assert.Equal(code, GroundCrs.UtmAt(lon, lat).EpsgCode);

    // Six degrees of zone and half a zone on either side, where fields that straddle a boundary end up.
    [Fact]
    public void Utm_ThereAndBack_ReturnsEverywhereInAndNearAZone() =>
        Gen.Select(Gen.Int[1, 60], Gen.Double[-6, 6], Gen.Double[-80, 84]).Sample((zone, off, lat) =>
        {
            GroundCrs crs = GroundCrs.FromEpsg((lat < 0 ? 32700 : 32600) + zone);
            double lon = Math.IEEERemainder((6 * zone) - 183 + off, 360);
            (double x, double y) = crs.FromLonLat(lon, lat);
            (double backLon, double backLat) = crs.ToLonLat(x, y);
            double east = Math.IEEERemainder(backLon - lon, 360) * 111_320 * Math.Cos(lat * Math.PI / 180);
            Assert.True(Math.Abs(east) < 1e-3 && Math.Abs(backLat - lat) * 111_320 < 1e-3, "came back elsewhere");
        });

    [Fact]
    public void ToLonLat_NotANumber_IsNotANumber()
    {
        GroundCrs crs = GroundCrs.FromEpsg(32610);
        Assert.True(double.IsNaN(crs.ToLonLat(double.NaN, 4e6).Longitude));
        Assert.True(double.IsNaN(crs.FromLonLat(-122, 91).X));
    }

    private const string Clarke = "GEOGCS[\"Clarke\",DATUM[\"example\",SPHEROID[\"Clarke 1866\",6378206.4,294.97869821389821],TOWGS84[0,0,0,0,0,0,0]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]]";
    private const string Wgs84 = "GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]]";

    private static void AssertSame(GroundCrs expected, GroundCrs got, double lon, double lat)
    {
        (double x, double y) = expected.FromLonLat(lon, lat);
        (double gotX, double gotY) = got.FromLonLat(lon, lat);
        Assert.Equal(x, gotX, 1e-4);
        Assert.Equal(y, gotY, 1e-4);
    }
}
