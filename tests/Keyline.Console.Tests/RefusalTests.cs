using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>Bad input is refused with exit code 2 and one sentence that says what, where and how to mend it, and nothing is written.</summary>
public sealed class RefusalTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Dem_WithoutCoordinateSystem() =>
        Refused(_farm.PlanWith("--dem", _farm.WriteDem("bare.asc", TestFarm.Height, prj: false)), "bare", "coordinate system");

    [Fact]
    public void Dem_OfOneValue() => Refused(_farm.PlanWith("--dem", _farm.WriteDem("flat.asc", (_, _) => 7)), "height");

    [Fact]
    public void Dem_WithoutAnyHeight() => Refused(_farm.PlanWith("--dem", _farm.WriteDem("void.asc", (_, _) => double.NaN)), "height");

    [Fact]
    public void Dem_TruncatedAsciiGrid()
    {
        string text = File.ReadAllText(_farm.Dem);
        string path = _farm.WriteDem("cut.asc", TestFarm.Height);
        File.WriteAllText(path, text[..(text.Length / 2)]);
        Refused(_farm.PlanWith("--dem", path), "cut.asc");
    }

    [Theory]
    [InlineData(0.9)]
    [InlineData(0.5)]
    [InlineData(0.001)]
    public void Dem_TruncatedGeoTiff(double share)
    {
        using Stream whole = Resources.Open("farm/dem.tif");
        byte[] bytes = new byte[(int)(whole.Length * share)];
        whole.ReadExactly(bytes);
        File.WriteAllBytes(_farm.At("cut.tif"), bytes);
        Refused(_farm.PlanWith("--dem", _farm.At("cut.tif")), "cut.tif");
    }

    [Theory]
    [InlineData("notes.txt", "Spoke to the neighbour about the pipe.")]
    [InlineData("notes.tif", "II but not a raster")]
    [InlineData("empty.tif", "")]
    public void Dem_ThatIsNoRaster(string name, string content) => Refused(_farm.PlanWith("--dem", _farm.Write(name, content)), name);

    [Fact]
    public void Dem_ThatIsNotThere() => Refused(_farm.PlanWith("--dem", _farm.At("nowhere.tif")), "nowhere.tif", "--dem");

    [Fact]
    public void Dem_ThatIsAFolderWithoutElevation() => Refused(_farm.PlanWith("--dem", Directory.CreateDirectory(_farm.At("no-tiles")).FullName), "no-tiles", "0 elevation files");

    [Fact]
    public void Field_OutsideTheDem() =>
        Refused(_farm.PlanWith("--field", _farm.WriteField("far.geojson", [(1000, 1000), (1200, 1000), (1200, 1200), (1000, 1200)])), "no ground at the field");

    [Fact]
    public void Field_PartlyOutsideTheDem() =>
        Refused(_farm.PlanWith("--field", _farm.WriteField("over.geojson", [(30, 30), (400, 30), (400, 190), (30, 190)])), "outside the DEM");

    [Fact]
    public void Field_PartlyOverMissingCells()
    {
        string dem = _farm.WriteDem("hole.asc", (x, y) => x is > 100 and < 120 && y is > 100 and < 110 ? double.NaN : TestFarm.Height(x, y));
        Refused(_farm.PlanWith("--dem", dem), "no heights");
    }

    [Fact]
    public void Field_ThatIsALine() =>
        Refused(_farm.PlanWith("--field", _farm.Write("line.geojson", TestFarm.Feature("LineString", TestFarm.Line([(30, 30), (200, 100)]), "{}"))), "olygon");

    [Fact]
    public void Field_ThatIsAPoint() =>
        Refused(_farm.PlanWith("--field", _farm.Write("point.geojson", TestFarm.Feature("Point", TestFarm.Place(100, 100), "{}"))), "olygon");

    [Fact]
    public void Field_ThatCrossesItself() =>
        Refused(_farm.PlanWith("--field", _farm.WriteField("bow.geojson", [(30, 30), (250, 190), (250, 30), (30, 190)])), "cross");

    [Fact]
    public void Field_ThatIsEmpty() =>
        Refused(_farm.PlanWith("--field", _farm.Write("empty.geojson", """{"type":"FeatureCollection","features":[]}""")), "empty.geojson");

    [Fact]
    public void Field_OfAnEmptyPolygon() =>
        Refused(_farm.PlanWith("--field", _farm.Write("none.geojson", TestFarm.Feature("Polygon", "[]", "{}"))), "field");

    [Fact]
    public void Field_WithoutArea() =>
        Refused(_farm.PlanWith("--field", _farm.WriteField("thin.geojson", [(30, 30), (250, 30), (120, 30)])), "area");

    [Fact]
    public void Field_InProjectedMetres() =>
        Refused(
            _farm.PlanWith("--field", _farm.Write("metres.geojson", TestFarm.Feature("Polygon", "[[[600030,4100030],[600250,4100030],[600250,4100190],[600030,4100030]]]", "{}"))),
            "longitude");

    [Fact]
    public void Field_ThatIsNoJson() => Refused(_farm.PlanWith("--field", _farm.Write("field.txt", "POLYGON ((1 2, 3 4))")), "field.txt");

    [Fact]
    public void Avoided_WithoutSetback() =>
        Refused(_farm.PlanWith("--avoid", _farm.Write("loose.geojson", TestFarm.Feature("Point", TestFarm.Place(100, 100), "{}"))), "setback");

    [Theory]
    [InlineData("0 m", "above zero")]
    [InlineData("-3 m", "above zero")]
    [InlineData("900 m", "wider than the field")]
    [InlineData("1 cm", "finer")]
    [InlineData("3", "unit")]
    [InlineData("3 furlongs", "unknown unit")]
    [InlineData("wide", "not a length")]
    [InlineData("3,5 m", "comma")]
    [InlineData("NaN m", "not a length")]
    public void Spacing_ThatMakesNoSense(string spacing, string because) => Refused(_farm.PlanWith("--spacing", spacing), "spacing", because);

    [Theory]
    [InlineData("--max-grade", "0")]
    [InlineData("--max-grade", "-1 %")]
    [InlineData("--max-grade", "2 m")]
    [InlineData("--fall", "-0.5")]
    [InlineData("--fall", "3")]
    [InlineData("--min-radius", "8")]
    [InlineData("--headland", "-6 m")]
    [InlineData("--min-length", "30")]
    [InlineData("--max-slope", "0 %")]
    [InlineData("--crs", "UTM 10")]
    public void Limit_ThatMakesNoSense(string flag, string value) => Refused(_farm.PlanWith(flag, value), flag);

    [Fact]
    public void Coordinates_OfAnUnknownCode() => Refused(_farm.PlanWith("--crs", "EPSG:999999"), "EPSG:999999");

    [Theory]
    [InlineData("--spaccing", "--spacing")]
    [InlineData("--colour", "--help")]
    [InlineData("-x", "--help")]
    public void Option_ThatIsUnknown(string flag, string hint) => Refused(_farm.Plan(flag), flag, hint);

    [Fact]
    public void Option_WithoutItsValue() => Refused(["plan", "--dem"], "--dem", "needs a value");

    [Fact]
    public void Option_GivenTwice() => Refused(_farm.Plan("--spacing", "3 m"), "--spacing", "more than once");

    [Fact]
    public void Length_WithoutQuotes() => Refused(_farm.Plan("ft"), "ft", "quotes");

    [Theory]
    [InlineData("--dem")]
    [InlineData("--field")]
    [InlineData("--spacing")]
    [InlineData("--out")]
    public void Option_ThatIsMissing(string flag)
    {
        List<string> words = [.. _farm.Plan()];
        words.RemoveRange(words.IndexOf(flag), 2);
        Refused([.. words], flag, "missing");
    }

    [Fact]
    public void Command_ThatIsUnknown() => Refused(["plough"], "plough", "--help");

    [Fact]
    public void Output_BelowAFile() => Refused(_farm.PlanWith("--out", Path.Combine(_farm.Field, "sub")), "--out");

    [Fact]
    public void Output_ThatIsAFile() => Refused(_farm.PlanWith("--out", _farm.Field), "file", "--out");

    [Fact]
    public void Output_ThatCannotBeWritten()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("Needs a Unix file system.");
        }

        // Nobody, not even root, can make a folder in /proc; an ordinary user cannot in a folder without write permission.
        Refused(_farm.PlanWith("--out", OperatingSystem.IsLinux() ? "/proc/plan" : "/plan"), "cannot be written", "--out");
    }

    [Fact]
    public void Output_ThatExists()
    {
        Directory.CreateDirectory(_farm.Out);
        File.WriteAllText(Path.Combine(_farm.Out, "diary.txt"), "mine");
        Refused(_farm.Plan(), "--overwrite");
    }

    private void Refused(string[] args, params string[] says)
    {
        string[] before = _farm.Contents();
        CliResult result = Cli.Run(args);
        Assert.Equal(2, result.Exit);
        Assert.Equal("", result.Output);
        string sentence = Assert.Single(result.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        Assert.EndsWith(".", sentence.TrimEnd().TrimEnd(')'), StringComparison.Ordinal);
        Assert.DoesNotContain("Exception", sentence, StringComparison.Ordinal);
        Assert.All(says, part => Assert.Contains(part, sentence, StringComparison.OrdinalIgnoreCase));
        Assert.Equal(before, _farm.Contents());
    }
}
