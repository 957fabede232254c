using Keyline.Elevation;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report.Tests;

public sealed class ValueMapTests
{
    private const int Rows = 60;
    private const int Columns = 80;
    private static readonly double[] Millimetres = [0.01, 0.02, 0.03];

    [Fact]
    public void Write_DrawsEachCellInTheColourOfItsClass()
    {
        ValueMapContent content = Content((r, c) => r < 16 ? 0.04f : c < 20 ? 0.005f : c < 40 ? 0.015f : c < 60 ? 0.025f : 0.5f);
        using SKBitmap map = Drawn(content);
        SKColor[] colours = ValueColours.Of(Millimetres, false);
        MapPage page = MapPage.For(content.Field.EnvelopeInternal);
        MapView view = new(page, content.Field.EnvelopeInternal);
        Assert.True(Apart(At(map, page, view.At(10, 52)), colours[3]) <= 6, "The first row is the northernmost.");
        for (int k = 0; k < 4; k++)
        {
            // The middle of the field, away from its boundary and from coordinates along the frame.
            SKColor dot = At(map, page, view.At(10 + (20 * k), 31));
            Assert.True(Apart(dot, colours[k]) <= 6, $"Class {k} is {dot} for {colours[k]}.");
        }
    }

    // Everything a map of a storm says has its Spanish, its unit too; Spanish of the United States has feet and inches.
    [Theory]
    [InlineData("Water taken in with the plan less without", "Agua infiltrada con el plan menos sin él")]
    [InlineData("Storm: 40 mm in 1 h, type II", "Tormenta: 40 mm en 1 h, tipo II")]
    [InlineData("Soil: clay loam", "Suelo: franco arcilloso")]
    [InlineData("Soil: by polygons, most of it clay loam", "Suelo: por polígonos, en su mayor parte franco arcilloso")]
    [InlineData("20 to 30", "20 a 30")]
    [InlineData("-20 to -10", "-20 a -10")]
    [InlineData("below -20", "menos de -20")]
    [InlineData("60 and more", "60 y más")]
    public void Words_HaveTheirSpanish(string english, string spanish) => Assert.Equal(spanish, new MapVoice(UnitSystem.Metric, "es").Say(english));

    [Fact]
    public void Language_SaysThePanel_AndLeavesTheMap()
    {
        ValueMapContent english = Content((_, _) => 0.015f) with { Quantity = "Taken in" }, spanish = english with { Language = "es" };
        Assert.Equal(("Taken in, mm", "Infiltrado, mm", "Infiltrado, pulg"), (ValuePanel.LegendHead(english), ValuePanel.LegendHead(spanish), ValuePanel.LegendHead(spanish with { Units = UnitSystem.Us })));
        using SKBitmap one = Drawn(english), other = Drawn(spanish);
        MapPage page = MapPage.For(english.Field.EnvelopeInternal);
        Assert.Equal(At(one, page, new MapView(page, english.Field.EnvelopeInternal).At(30, 31)), At(other, page, new MapView(page, english.Field.EnvelopeInternal).At(30, 31)));
        Assert.NotEqual(one.Bytes, other.Bytes);
        Assert.Throws<ArgumentException>(() => ValueMap.Write(new MemoryStream(), english with { Language = "fr" }, TestContext.Current.CancellationToken));
    }

    [Fact]
    public void Write_LeavesMissingCellsWhite_AndGivesTheSameBytes()
    {
        ValueMapContent content = Content((r, c) => c is > 30 and < 50 ? float.NaN : 0.04f);
        using MemoryStream one = new(), two = new();
        ValueMap.Write(one, content, TestContext.Current.CancellationToken);
        ValueMap.Write(two, content, TestContext.Current.CancellationToken);
        Assert.Equal(one.ToArray(), two.ToArray());
        using SKBitmap map = SKBitmap.Decode(one.ToArray());
        MapPage page = MapPage.For(content.Field.EnvelopeInternal);
        Assert.True(Apart(At(map, page, new MapView(page, content.Field.EnvelopeInternal).At(40, 31)), SKColors.White) <= 4);
    }

    [Fact]
    public void Write_WithLinesPlacesAndContours_DrawsThem()
    {
        ValueMapContent bare = Content((_, _) => 0.015f);
        ElevationGrid ground = ElevationGrid.Copy(bare.Values.Frame, [.. Enumerable.Range(0, Rows * Columns).Select(i => (float)(i / Columns * 0.1))]);
        ValueMapContent full = bare with
        {
            Ground = ground,
            Lines = [new LineString([new Coordinate(10, 20), new Coordinate(70, 20)])],
            Places = [("Dam", new Point(60, 45)), ("Next door", new Envelope(5, 15, 40, 50).ToPolygon())],
            Figures = [("Rain", "40.0 mm")],
            Notes = ["A note of some length that is broken into lines where the panel ends."],
            Diverges = false,
        };
        using SKBitmap plain = Drawn(bare), drawn = Drawn(full);
        MapPage page = MapPage.For(bare.Field.EnvelopeInternal);
        MapView view = new(page, bare.Field.EnvelopeInternal);
        Assert.True(Apart(At(drawn, page, view.At(60, 45)), ValueColours.Place) <= 12, "The dam is a dot.");
        Assert.True(Differing(plain, drawn) > 2000);
    }

    [Fact]
    public void Of_GetsDarkerWithMore_AndPartsGainsFromLosses()
    {
        float[] one = [.. ValueColours.Of([1, 2, 3, 4, 5], false).Select(Lightness)];
        Assert.All(one.Zip(one.Skip(1)), p => Assert.True(p.First > p.Second + 3, string.Join(' ', one)));
        SKColor[] two = ValueColours.Of([-3, -2, -1, 1, 2, 3], true);
        Assert.Equal(7, two.Distinct().Count());
        Assert.All(Enumerable.Range(1, 3), k => Assert.True(two[3 - k].Red > two[3 - k].Blue && two[3 + k].Blue > two[3 + k].Red));
        Assert.All(Enumerable.Range(1, 3), k => Assert.InRange(Lightness(two[3 - k]) - Lightness(two[3 + k]), -14, 14));
        SKColor[] parted = ValueColours.Of([-1, 0, 1], true);
        Assert.True(parted[1].Red > parted[1].Blue && parted[2].Blue > parted[2].Red, "At 0 losses end and gains begin.");
    }

    [Theory]
    [InlineData(0.0099, 0)]
    [InlineData(0.01, 1)]
    [InlineData(0.0299, 2)]
    [InlineData(0.03, 3)]
    [InlineData(9, 3)]
    public void ClassOf_TakesALowerBoundIn(double value, int expected) => Assert.Equal(expected, ValueColours.ClassOf(Millimetres, value));

    [Fact]
    public void Write_WithBoundsThatDoNotGrow_IsRefused()
    {
        ValueMapContent content = Content((_, _) => 1) with { Bounds = [0.02, 0.01] };
        Assert.Contains("must be finite and grow", Assert.Throws<ArgumentException>(() => ValueMap.Write(Stream.Null, content, TestContext.Current.CancellationToken)).Message, StringComparison.Ordinal);
    }

    private static ValueMapContent Content(Func<int, int, float> value)
    {
        GridFrame frame = new(Rows, Columns, 1, 0, Rows);
        return new ValueMapContent
        {
            Title = "Hill field",
            Subtitle = ["Water taken in"],
            Quantity = "Taken in",
            Values = Grid.Copy<float>(frame, [.. Enumerable.Range(0, Rows * Columns).Select(i => value(i / Columns, i % Columns))]),
            Bounds = Millimetres,
            Field = new Envelope(2, 78, 2, 58).ToPolygon(),
        };
    }

    private static SKBitmap Drawn(ValueMapContent content)
    {
        using MemoryStream png = new();
        ValueMap.Write(png, content, TestContext.Current.CancellationToken);
        return SKBitmap.Decode(png.ToArray());
    }

    private static SKColor At(SKBitmap map, MapPage page, SKPoint place) => map.GetPixel((int)(place.X / page.Width * map.Width), (int)(place.Y / page.Height * map.Height));

    private static int Apart(SKColor a, SKColor b) => Math.Max(Math.Abs(a.Red - b.Red), Math.Max(Math.Abs(a.Green - b.Green), Math.Abs(a.Blue - b.Blue)));

    private static int Differing(SKBitmap a, SKBitmap b) => Enumerable.Range(0, a.Width * a.Height).Count(i => a.GetPixel(i % a.Width, i / a.Width) != b.GetPixel(i % a.Width, i / a.Width));

    // Luma of ITU-R BT.709, percent.
    private static float Lightness(SKColor c) => ((0.2126f * c.Red) + (0.7152f * c.Green) + (0.0722f * c.Blue)) / 2.55f;
}

internal static class Boxes
{
    public static Geometry ToPolygon(this Envelope box) => GeometryFactory.Default.ToGeometry(box);
}
