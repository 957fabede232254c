namespace Keyline.Formats.Tests.Crs;

public sealed class GroundCrsTests
{
    // G-24: GeographicLib's GeoConvert documentation; the rest Krueger's series of order 6, computed apart from this library.
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

    // G-20: IOGP Guidance Note 7-2 prints 577274.99, 69740.50 for 50.5 N 0.5 E on OSGB 1936, 8 mm from the exact series.
    // G-21: Ordnance Survey, A Guide to Coordinate Systems in Great Britain, annex C, to the millimetre.
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
}
