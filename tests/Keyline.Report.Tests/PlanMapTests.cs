using System.Globalization;
using System.Reflection;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report.Tests;

public sealed class PlanMapTests
{
    private const int Coarse = 96;

    private static readonly PlanMapOptions Options = new()
    {
        CoordinateSystem = "EPSG:32610, WGS 84 / UTM zone 10N",
        SpacingAsked = "10 ft",
        GroundSource = "three-combes.tif",
        MadeWith = "Keyline 0.1.0",
        Cautions =
        [
            "Have every buried pipe and cable located and marked on the ground before ripping.",
            "Rip only where the soil is dry enough to shatter; wet clay smears.",
            "Positions are on the datum of the elevation data; check one known point with the tractor's receiver first.",
            "Walk each weak keypoint before trusting it.",
        ],
    };

    [Theory]
    [InlineData(500, 600, 297, 210)]
    [InlineData(900, 300, 210, 297)]
    public void Write_IsAnA4SheetTheWayRoundThatSuitsTheField(int rows, int columns, int width, int height)
    {
        using SKBitmap map = Draw(InventedPlan.Make(rows, columns), Options);
        // A4 is 297 x 210 mm (ISO 216); an inch is 25.4 mm.
        Assert.Equal((int)Math.Round(width / 25.4 * Coarse), map.Width);
        Assert.Equal((int)Math.Round(height / 25.4 * Coarse), map.Height);
    }

    [Fact]
    public void WriteSvg_IsTheSheetWithItsWordsAsText()
    {
        KeylinePlan plan = InventedPlan.Make(300, 360, name: "Three <Combes> & more");
        using MemoryStream first = new(), second = new();
        PlanMap.WriteSvg(first, plan, Options with { Units = UnitSystem.Us });
        PlanMap.WriteSvg(second, plan, Options with { Units = UnitSystem.Us });
        Assert.Equal(first.ToArray(), second.ToArray());
        first.Position = 0;
        System.Xml.Linq.XElement svg = System.Xml.Linq.XDocument.Load(first).Root!;
        Assert.Equal(("297mm", "210mm", "0 0 297 210"), ((string)svg.Attribute("width")!, (string)svg.Attribute("height")!, (string)svg.Attribute("viewBox")!));
        string[] words = [.. svg.Descendants().Where(e => e.Name.LocalName == "text").Select(e => e.Value.Trim())];
        Assert.Contains("Three <Combes> & more", words);
        Assert.Contains("Headland, 19.7 ft", words);
        Assert.Contains("K1", words);
        Assert.Single(svg.Descendants(), e => e.Name.LocalName == "image");
        // Lines are lines: at least one for every rip line.
        Assert.True(svg.Descendants().Count(e => e.Name.LocalName == "path") > plan.Layout.Lines.Count);
    }

    [Fact]
    public void InSpanish_EveryWordOfTheMapIsSaid_NamesAndCoordinatesStay()
    {
        KeylinePlan plan = InventedPlan.Make(300, 360, name: "Three <Combes> & more");
        PlanMapOptions options = Options with { Language = "es", TrueNorth = 1.3, Cautions = PlanMapOptions.DefaultCautions };
        string[] said = Words(options), english = Words(options with { Language = "en" });
        string[] stay = ["Three <Combes> & more", "Dam", "Tree belt", "Pipe"];
        Assert.Contains("Cabecera, 6 m", said);
        Assert.Contains("radio", string.Join('|', said), StringComparison.Ordinal);
        Assert.Contains(said, w => w.Contains("el verdadero 1,3° a la derecha", StringComparison.Ordinal));
        Assert.Contains(said, w => w.EndsWith(" %", StringComparison.Ordinal) && w.Contains(',', StringComparison.Ordinal));
        Assert.DoesNotContain(said, w => w.Contains('.', StringComparison.Ordinal) && System.Text.RegularExpressions.Regex.IsMatch(w, "[0-9]\\.[0-9] "));
        Assert.Contains("18.0 m", Words(options with { Language = "es", Units = UnitSystem.Us, SpacingAsked = "18.0 m" }).Select(w => w.Split(" (")[0]));

        // What is the same in both is a name, a number or a code.
        string[] same = [.. said.Intersect(english).Where(w => w.Length > 2 && w.Any(char.IsLetter) && !stay.Contains(w))];
        Assert.All(same, w => Assert.Matches("^([0-9., ]+ (ha|km|m|E|N)|[KGR]-?[0-9]+|EPSG.*|.*Keyline.*|[0-9.]+ m( .*)?)$", w));
        Assert.Throws<ArgumentException>(() => Words(options with { Language = "fr" }));

        string[] Words(PlanMapOptions asked)
        {
            using MemoryStream svg = new();
            PlanMap.WriteSvg(svg, plan, asked);
            svg.Position = 0;
            return [.. System.Xml.Linq.XDocument.Load(svg).Root!.Descendants().Where(e => e.Name.LocalName == "text").Select(e => e.Value.Trim())];
        }
    }

    [Fact]
    public void Write_RoughGroundOfAThousandHectares_StaysBelowAMegabyte()
    {
        // The worst a picture can hold: noise in every dot and lines everywhere.
        KeylinePlan plan = InventedPlan.Make(800, 1250, 3.2, 12, noise: 0.4);
        Assert.True(plan.Field.Boundary.Area > 600 * 10_000);
        using MemoryStream png = new();
        PlanMap.Write(png, plan, Options);
        Assert.InRange(png.Length, 200_000, 1_000_000);
    }

    [Fact]
    public void Write_Twice_GivesTheSameBytes()
    {
        KeylinePlan plan = InventedPlan.Make();
        Assert.Equal(Bytes(plan, Options), Bytes(plan, Options));
    }

    [Fact]
    public void Write_UnderACommaCulture_GivesTheSameBytes()
    {
        KeylinePlan plan = InventedPlan.Make();
        byte[] plain = Bytes(plan, Options);
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal("1,5", 1.5.ToString(CultureInfo.CurrentCulture));
            Assert.Equal(plain, Bytes(plan, Options));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Write_DrawsLettersWithoutAnySystemFont()
    {
        // The two embedded faces are Open Sans; their family name is in the font's own name table.
        using SKFont regular = MapStyle.Font(10);
        using SKFont strong = MapStyle.Font(10, strong: true);
        Assert.StartsWith("Open Sans", regular.Typeface.FamilyName, StringComparison.Ordinal);
        Assert.StartsWith("Open Sans", strong.Typeface.FamilyName, StringComparison.Ordinal);
        // Advance widths in the font's hmtx table, 2048 units an em: "0" 1171, "m" 1905 in the regular face (read from the file with another program).
        Assert.Equal(10 * 1171 / 2048f, regular.MeasureText("0"), 3);
        Assert.Equal(10 * 1905 / 2048f, regular.MeasureText("m"), 3);
        Assert.True(regular.ContainsGlyphs("0123456789 abc XYZ , : % … ° é ü š"));
    }

    [Fact]
    public void Write_OneLine_LiesWhereItsCoordinatesAre()
    {
        // The sheet is drawn to scale: a mark's place on it follows from the frame and the scale alone.
        KeylinePlan plan = InventedPlan.Make();
        Envelope field = plan.Field.Boundary.EnvelopeInternal;
        MapPage page = MapPage.For(field);
        MapView view = new(page, field);
        SKPoint centre = view.At(field.Centre);
        Assert.Equal(page.Map.MidX, centre.X, 3);
        Assert.Equal(page.Map.MidY, centre.Y, 3);
        SKPoint east = view.At(field.Centre.X + 100, field.Centre.Y);
        SKPoint north = view.At(field.Centre.X, field.Centre.Y + 100);
        Assert.Equal(100_000.0 / page.Scale, east.X - centre.X, 3);
        Assert.Equal(100_000.0 / page.Scale, centre.Y - north.Y, 3);

        // The dam in the invented plan is filled dark at its middle.
        using SKBitmap map = Draw(plan, Options);
        SKPoint dam = view.At(plan.Field.Avoided[0].Shape.Centroid.Coordinate.X, plan.Field.Avoided[0].Shape.Centroid.Coordinate.Y - 9);
        SKColor seen = map.GetPixel((int)(dam.X * Coarse / 25.4), (int)(dam.Y * Coarse / 25.4));
        Assert.True(seen.Red < 0xA0 && seen.Green < 0xA0, $"the dam is {seen}");
    }

    [Fact]
    public void Write_GroundWithoutHeights_StaysPaper()
    {
        KeylinePlan plan = InventedPlan.Make();
        Envelope field = plan.Field.Boundary.EnvelopeInternal;
        MapView view = new(MapPage.For(field), field);
        SKPoint hole = view.At(plan.Ground.Frame.West + 20, plan.Ground.Frame.North - 15);
        using SKBitmap map = Draw(plan, Options);
        Assert.Equal(SKColors.White, map.GetPixel((int)(hole.X * Coarse / 25.4), (int)(hole.Y * Coarse / 25.4)));
    }

    [Theory]
    [InlineData(40, 8)]
    [InlineData(4000, 1)]
    [InlineData(400, 400)]
    public void Page_AnyShapeOfField_FitsTheFrameAtAPlainScale(double width, double height)
    {
        Envelope field = new(0, width, 0, height);
        MapPage page = MapPage.For(field);
        Envelope window = new MapView(page, field).Window;
        Assert.True(window.Contains(field));
        Assert.False(page.Map.IntersectsWith(page.Panel));
        double mantissa = page.Scale / Math.Pow(10, Math.Floor(Math.Log10(page.Scale)));
        Assert.Contains(mantissa, (double[])[1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5, 8]);
    }

    [Fact]
    public void Write_PlanWithoutLines_StillGivesAMap()
    {
        // A spacing wider than the field leaves no line, and no guide either.
        using SKBitmap map = Draw(InventedPlan.Make(spacing: 5000), new PlanMapOptions());
        Assert.True(map.Width > map.Height);
    }

    [Fact]
    public void Write_TooFineOrTooCoarse_IsRefused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => PlanMap.Write(Stream.Null, InventedPlan.Make(50, 60, 10), Options with { PixelsPerInch = 20 }));

    [Fact]
    public void Write_Cancelled_WritesNothing()
    {
        using MemoryStream png = new();
        Assert.Throws<OperationCanceledException>(() => PlanMap.Write(png, InventedPlan.Make(50, 60, 10), Options, new CancellationToken(canceled: true)));
        Assert.Equal(0, png.Length);
    }

    [Fact]
    public void Labels_NeverOverlap()
    {
        LabelPlacer labels = new(new SKRect(0, 0, 100, 100));
        Assert.True(labels.TryTake(new SKRect(10, 10, 20, 20)));
        Assert.False(labels.TryTake(new SKRect(19, 19, 30, 30)));
        Assert.True(labels.TryTake(new SKRect(21, 10, 30, 20)));
        Assert.False(labels.TryTake(new SKRect(95, 95, 105, 99)));
    }

    [Fact]
    public void Wrap_BreaksBetweenWordsWithinTheWidth()
    {
        using SKFont font = MapStyle.Font(2);
        const string text = "Have every buried pipe and cable located and marked on the ground before ripping.";
        IReadOnlyList<string> lines = Lettering.Wrap(text, font, 30);
        Assert.True(lines.Count > 1);
        Assert.All(lines, line => Assert.True(font.MeasureText(line) <= 30));
        Assert.Equal(text, string.Join(' ', lines));
    }

    private static byte[] Bytes(KeylinePlan plan, PlanMapOptions options)
    {
        using MemoryStream png = new();
        PlanMap.Write(png, plan, options with { PixelsPerInch = Coarse });
        return png.ToArray();
    }

    private static SKBitmap Draw(KeylinePlan plan, PlanMapOptions options) => SKBitmap.Decode(Bytes(plan, options));
}
