using System.Globalization;
using System.Text;
using Keyline.Elevation;

namespace Keyline.Formats.Tests.Survey;

/// <summary>Tables of survey shots as surveyors write them.</summary>
public sealed class SurveyReaderTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32614);
    private static readonly ElevationReadOptions InUtm = new() { Crs = Utm };

    [Fact]
    public void Read_EastingNorthingHeight_IsThePlaneTheyLieOn()
    {
        ElevationSource source = Read(Table("shot,easting,northing,height", (n, x, y, z) => $"{n},{x},{y},{z}"), InUtm);
        IsThePlane(source);
        Assert.Equal(36, source.Survey!.Residuals.Count);
        Assert.Contains(source.Notes, n => n.StartsWith("A thin plate was laid", StringComparison.Ordinal) && n.Contains("36 of 36 shots", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_Feet_BecomeMetresByTheColumnsNames()
    {
        static string Foot(double metres) => (metres / 0.3048).ToString("R", CultureInfo.InvariantCulture);
        ElevationSource source = Read(Table("point;easting_ft;northing_ft;elevation_ft", (n, x, y, z) => $"{n};{Foot(x)};{Foot(y)};{Foot(z)}"), InUtm);
        IsThePlane(source);
        Assert.Contains(source.Notes, n => n.Contains("height was turned from foot units", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_LongitudeLatitude_GoesToTheLocalZone()
    {
        ElevationSource source = Read(Table("name\tlat\tlon\theight_m", (n, x, y, z) =>
        {
            (double lon, double lat) = Utm.ToLonLat(x, y);
            return string.Create(CultureInfo.InvariantCulture, $"{n}\t{lat:R}\t{lon:R}\t{z}");
        }));
        Assert.Equal(32614, source.Crs.EpsgCode);
        IsThePlane(source);
    }

    [Fact]
    public void Read_RodReadings_AreLevelledThroughTwoSetUps()
    {
        // A benchmark of 100 m off the field; set-up 2 reads point 7 of set-up 1 again as its turning point.
        double[] instrument = [101.5, 103.25];
        List<string> rows = ["setup,shot,easting,northing,height_m,rod_m", "1,BM,,,100,1.5"];
        int number = 0;
        foreach ((double x, double y, double z) in Places())
        {
            int setup = number < 18 ? 0 : 1;
            rows.Add(string.Create(CultureInfo.InvariantCulture, $"{setup + 1},{++number},{x},{y},,{instrument[setup] - z:R}"));
            if (number == 18)
            {
                (double tx, double ty, double tz) = Places().ElementAt(6);
                rows.Add(string.Create(CultureInfo.InvariantCulture, $"2,7,{tx},{ty},,{instrument[1] - tz:R}"));
            }
        }

        ElevationSource source = Read(string.Join('\n', rows), InUtm);
        IsThePlane(source);
        Assert.Single(source.Survey!.Repeated);
    }

    [Fact]
    public void Read_BenchmarksThatDisagree_AreToldOf()
    {
        string rows = "shot,easting,northing,height_m,rod_m\nA,600000,4000000,100,1.5\nB,600050,4000000,101,0.55\nC,600000,4000050,,1.0\nD,600050,4000050,,0.9\n";
        ElevationSource source = Read(rows, InUtm);
        Assert.Contains(source.Notes, n => n.Contains("0.050 m apart", StringComparison.Ordinal));

        // The instrument stands at the mean of 101.5 and 101.55.
        Assert.Equal(101.525 - 1.0, source.Survey!.Residuals.Single(r => r.Shot.Name == "C").Shot.Height, 1e-9);
    }

    [Fact]
    public void Read_Blunder_IsNamedAndLeftOut()
    {
        string table = Table("shot,easting,northing,height", (n, x, y, z) => $"{n},{x},{y},{(n == 15 ? "110.5" : z)}");
        ElevationSource source = Read(table, InUtm);
        IsThePlane(source);
        Assert.Contains(source.Notes, n => n.StartsWith("One shot looks like a blunder and was left out: 15 (+", StringComparison.Ordinal));
        Assert.Contains(Read(table, InUtm with { Survey = new SurveyOptions { KeepSuspects = true } }).Notes, n => n.Contains("and was kept: 15", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("shot,easting,northing\n1,2,3\n", "no column of heights")]
    [InlineData("shot,easting,northing,height\n1,600000,4000000,\n", "line 2 has neither a height nor a reading")]
    [InlineData("shot,easting,northing,height\n1,600000,,5\n", "line 2 has no northing")]
    [InlineData("shot;easting;northing;height\n1;600000;4000000;5\n2;600000,5;4000000;5\n", "line 3 holds \"600000,5\"")]
    [InlineData("shot,easting,northing,height\n1,600000,4000000,high\n", "line 2 holds \"high\"")]
    [InlineData("shot,easting,northing,height\n", "holds no shot")]
    [InlineData("shot,easting,northing,height,height\n1,2,3,4,5\n", "height twice")]
    [InlineData("shot,easting,northing,rod_m\n1,600000,4000000,1.2\n", "has no benchmark")]
    [InlineData("shot,easting,northing,height\n1,600000,4000000,5\n2,600010,4000000,5\n", "at least 4")]
    [InlineData("shot,lon,lat,height\n1,600000,4000000,5\n", "not degrees of farmland")]
    [InlineData("shot,easting,northing,height\n\"1,600000,4000000,5\n", "quote")]
    public void Read_WhatIsNoSurvey_IsRefusedWithTheLine(string text, string says)
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => Read(text, InUtm));
        Assert.Contains(says, e.Message, StringComparison.Ordinal);
        Assert.StartsWith("shots.csv: ", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_WithoutASystem_IsRefused() => Assert.Contains(
        "coordinate system", Assert.Throws<GroundDataException>(() => Read(Table("shot,easting,northing,height", (n, x, y, z) => $"{n},{x},{y},{z}"))).Message, StringComparison.Ordinal);

    [Fact]
    public void Read_FeetAcrossAndNoUnitUp_IsRefused() => Assert.Contains(
        "does not say its unit",
        Assert.Throws<GroundDataException>(() => Read(Table("shot,easting,northing,height", (n, x, y, z) => $"{n},{x},{y},{z}"), new ElevationReadOptions { Crs = GroundCrs.FromEpsg(2227) })).Message,
        StringComparison.Ordinal);

    private static ElevationSource Read(string text, ElevationReadOptions? options = null) => ElevationReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "shots.csv", options);

    private static IEnumerable<(double X, double Y, double Z)> Places()
    {
        for (int i = 0; i < 36; i++)
        {
            (double x, double y) = (600_000 + (10 * (i % 6)) + (i % 5), 4_000_000 + (10 * (i / 6)) + (i % 7));
            yield return (x, y, Math.Round(Plane(x, y), 9));
        }
    }

    private static double Plane(double x, double y) => 100 + (0.01 * (x - 600_000)) + (0.02 * (y - 4_000_000));

    private static string Table(string head, Func<int, double, double, double, string> row) =>
        head + "\r\n" + string.Join("\r\n", Places().Select((p, i) => FormattableString.Invariant($"{row(i + 1, p.X, p.Y, p.Z)}")));

    private static void IsThePlane(ElevationSource source)
    {
        GridFrame f = source.Grid.Frame;
        int known = 0;
        for (int r = 0; r < f.Rows; r++)
        {
            for (int c = 0; c < f.Columns; c++)
            {
                if (!float.IsNaN(source.Grid[r, c]))
                {
                    known++;
                    Assert.Equal(Plane(f.CentreX(c), f.CentreY(r)), source.Grid[r, c], 2e-3);
                }
            }
        }

        Assert.InRange(known * f.CellArea, 2000, 3600);
    }
}
