using System.Globalization;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Where blocks and plots come to lie, how treatments and points are drawn, and what is said of it: each held against what can be counted on made lines.</summary>
public sealed class TrialLayoutTests
{
    private const double Spacing = 3;

    // Straight lines due east from x = 10, driven to and fro.
    private static WorkLine[] Rows(int count, double length, double apart = Spacing) => [.. Enumerable.Range(0, count).Select(i => Row(i, 10, 10 + length, 10 + (apart * i)))];

    private static WorkLine Row(int number, double west, double east, double y)
    {
        Coordinate[] at = [new(west, y), new(east, y)];
        return new WorkLine(FormattableString.Invariant($"R{number + 1:000}"), new LineString(number % 2 == 0 ? at : [.. at.Reverse()]));
    }

    private static TrialDesign Laid(WorkLine[] lines, TrialOptions options, ShankSet? shanks = null, TrialGround? ground = null, params TrialZone[] zones)
    {
        Envelope box = new();
        foreach (WorkLine line in lines)
        {
            box.ExpandToInclude(line.Line.EnvelopeInternal);
        }

        box.ExpandBy(10);
        TrialSite site = new() { Lines = lines, Field = new FieldArea(GeometryFactory.Default.ToGeometry(box), [], "Test"), Spacing = Spacing, Shanks = shanks, Ground = ground, Zones = zones };
        return TrialDesigner.Design(site, options, TestContext.Current.CancellationToken);
    }

    private static Polygon Box(double west, double south, double east, double north) => (Polygon)GeometryFactory.Default.ToGeometry(new Envelope(west, east, south, north));

    // Blocks for a power by the normal approximation, n = (z(0.975) + z(power))^2 s^2 / d^2 (Cohen 1988, ch. 2), are fewer by one to three than those by the t distribution.
    [Theory]
    [InlineData(1.5)]
    [InlineData(2.0)]
    public void BlocksWanted_FollowFromEffectAndSpread(double effect)
    {
        TrialOptions options = new() { Effect = effect, Points = new Dictionary<string, int> { ["ring"] = 6 } };

        // Of a coefficient of variation c the log has the variance ln(1 + c^2); a difference of two plots has twice that of one.
        double ring = Math.Log(2) / 6, plot = Math.Log(1.09), spread = Math.Sqrt(2 * (ring + plot));
        Assert.Equal(spread, options.SpreadOfDifferences, 1e-9);
        double normal = Math.Pow((1.95996 + 0.84162) * spread / Math.Log(effect), 2);
        Assert.InRange(Laid(Rows(12, 120), options).BlocksWanted, Math.Min(40, normal), Math.Min(40, normal + 4));
    }

    [Fact]
    public void AGreatEffect_StillTakesThreeBlocks() => Assert.Equal(3, Laid(Rows(12, 120), new TrialOptions { Effect = 100, RingVariation = 0.1, PlotVariation = 0.05 }).BlocksWanted);

    // On lines of 100 m one plot of any length from 55 m fits: the longest stands. On lines of 75 m (5 m kept off both ends) 80 m do not fit and 60 m do; with 70 m as the least nothing does.
    [Fact]
    public void PlotsAreAsLongAsFits_AndNoShorterThanAsked()
    {
        TrialDesign full = Laid(Rows(40, 100), new TrialOptions { Blocks = 20, LeastLength = 55 });
        Assert.Equal(80, full.Length);
        Assert.All(full.Blocks, b => Assert.Equal(80, b.Shape.EnvelopeInternal.Width, 1e-6));
        TrialDesign shorter = Laid(Rows(40, 75), new TrialOptions { Blocks = 3 });
        Assert.Equal((60.0, TrialKind.Randomised), (shorter.Length, shorter.Kind));
        Assert.Equal(3, shorter.Blocks.Count);
        TrialDesign none = Laid(Rows(40, 75), new TrialOptions { Blocks = 3, LeastLength = 70 });
        Assert.Equal(TrialKind.Monitored, none.Kind);
        Assert.Empty(none.Plots);
    }

    // Nine passes (two plots of four and one between) of 500 m: stretches of 80 m begin each 20 m from 5 m on, and one that would touch the next waits: five fit.
    [Fact]
    public void BlocksLieBehindEachOther_AndKeepOffTheLinesEnds()
    {
        TrialDesign design = Laid(Rows(9, 500), new TrialOptions { Blocks = 20, LeastLength = 80 });
        Assert.Equal(5, design.Blocks.Count);
        Assert.Contains("20 blocks were wanted and 5 fit on like ground", string.Join(' ', design.Notes), StringComparison.Ordinal);
        Assert.All(design.Plots, p => Assert.True(p.Shape.EnvelopeInternal.MinX >= 15 - 1e-6 && p.Shape.EnvelopeInternal.MaxX <= 505 + 1e-6, p.Id));
        Assert.All(Laid(Rows(60, 90), new TrialOptions { Blocks = 6 }).Plots, p => Assert.Equal((15.0, 95.0), (Math.Round(p.Shape.EnvelopeInternal.MinX, 6), Math.Round(p.Shape.EnvelopeInternal.MaxX, 6))));
    }

    // Lines 4.2 m apart where 3 m were asked for are still neighbours (1.5 spacings), and a block is as wide as they lie.
    [Fact]
    public void NeighboursWideApart_StillCarryABlock()
    {
        TrialDesign design = Laid(Rows(30, 200, 4.2), new TrialOptions { Blocks = 2 });
        Assert.Equal(2, design.Blocks.Count);
        Assert.All(design.Blocks, b => Assert.Equal(9 * 4.2, b.Shape.EnvelopeInternal.Height, 1e-6));
    }

    // All rows but the first come in two halves with a gap of 3 m between them, from x = 201 on, that no cut of a strip (each 5 m) meets: no plot may take the one half of a row here and the other there.
    [Fact]
    public void PassesThatChangeAlongTheWay_CarryNoPlot()
    {
        WorkLine[] lines = [Row(0, 10, 390, 10), .. Enumerable.Range(1, 20).SelectMany(i => (WorkLine[])[Row(2 * i, 10, 201, 10 + (3 * i)), Row((2 * i) + 1, 204, 390, 10 + (3 * i))])];
        TrialDesign design = Laid(lines, new TrialOptions { Blocks = 12 });
        Assert.True(design.Blocks.Count >= 4);
        Assert.All(design.Blocks, b => Assert.False(b.Shape.EnvelopeInternal.MinX < 201 && b.Shape.EnvelopeInternal.MaxX > 204, $"{b.Shape.EnvelopeInternal}"));
        Dictionary<string, LineString> course = lines.ToDictionary(l => l.Id, l => l.Line);
        Assert.All(design.Plots, p => Assert.All(p.Lines, l => Assert.True(course[l].EnvelopeInternal.MinX <= p.Shape.EnvelopeInternal.MinX + 1e-6 && course[l].EnvelopeInternal.MaxX >= p.Shape.EnvelopeInternal.MaxX - 1e-6, p.Id + " " + l)));
    }

    // Where two zones lie over each other a plot would be in both.
    [Fact]
    public void GroundOfTwoZones_CarriesNoBlock()
    {
        TrialDesign design = Laid(Rows(30, 400), new TrialOptions { Blocks = 8 }, null, null, new TrialZone("loam", Box(-50, -50, 600, 300)), new TrialZone("saline", Box(-50, -50, 200, 300)));
        Assert.NotEmpty(design.Blocks);
        Assert.All(design.Blocks, b => Assert.Equal(("loam", true), (b.Zone, b.Shape.EnvelopeInternal.MinX > 200)));
    }

    // Height 0.0004 y^2 + 0.0003 x^2: its slope in percent is 100 sqrt((0.0008 y)^2 + (0.0006 x)^2) (by hand), and grows over each plot both ways.
    [Fact]
    public void SlopeOfAPlot_IsTheMeanOverAllOfIt_AndBoundsHold()
    {
        static double Height(double x, double y) => (0.0004 * y * y) + (0.0003 * x * x);
        ElevationGrid grid = ElevationGrid.Copy(new GridFrame(rows: 120, columns: 260, cellSize: 2, -50, 180), [.. from r in Enumerable.Range(0, 120) from c in Enumerable.Range(0, 260) select (float)Height(-50 + (2 * c) + 1, 180 - (2 * r) - 1)]);
        TrialGround ground = TrialGround.Of(GroundReading.Around(grid, Box(0, 0, 420, 130), Spacing), TestContext.Current.CancellationToken);
        TrialOptions any = new() { Blocks = 30, MostSlopeRange = 50, MostPositionRange = 1 };
        TrialDesign design = Laid(Rows(38, 400), any, null, ground);
        Assert.True(design.Plots.Count > 10);
        Assert.All(design.Plots, p =>
        {
            Envelope box = p.Shape.EnvelopeInternal;
            (double X, double Y)[] over = [.. from i in Enumerable.Range(0, 40) from j in Enumerable.Range(0, 8) select (box.MinX + (box.Width * (i + 0.5) / 40), box.MinY + (box.Height * (j + 0.5) / 8))];
            Assert.Equal(over.Average(q => 100 * Math.Sqrt(Math.Pow(0.0008 * q.Y, 2) + Math.Pow(0.0006 * q.X, 2))), p.Slope, 0.12);
            Assert.Equal(over.Average(q => ground.At(q.X, q.Y).Position), p.Position, 0.03);
        });
        Assert.All(design.Plots.GroupBy(p => p.Block), b => Assert.Equal(b.Max(p => p.Slope) - b.Min(p => p.Slope), design.Blocks[b.Key - 1].SlopeRange, 1e-9));

        // A bound between the least and the most that lie there leaves some and takes the rest; the alike come first.
        double[] ranges = [.. design.Blocks.Select(b => b.PositionRange).Order()];
        double bound = (ranges[0] + ranges[^1]) / 2;
        Assert.True(ranges[^1] > ranges[0] + 0.01);
        TrialDesign alike = Laid(Rows(38, 400), any with { MostPositionRange = bound }, null, ground);
        Assert.NotEmpty(alike.Blocks);
        Assert.All(alike.Blocks, b => Assert.True(b.PositionRange <= bound));
    }

    [Fact]
    public void Points_LieApart_BetweenAllPasses_AndEverySecondOnARip()
    {
        TrialOptions options = new() { Blocks = 4, OnRip = true, Seed = 11 };
        TrialDesign design = Laid(Rows(40, 400), options, new ShankSet(2, 0.7));
        HashSet<int> gaps = [];
        foreach (TrialPlot plot in design.Plots)
        {
            TrialPoint[] points = [.. design.Points.Where(p => p.Plot == plot.Id && p.Kind != "photo")];
            for (int i = 0; i < points.Length; i++)
            {
                Assert.All(points[..i], q => Assert.True(Math.Sqrt(Math.Pow(points[i].X - q.X, 2) + Math.Pow(points[i].Y - q.Y, 2)) >= 2, points[i].Id + " " + q.Id));
                int number = int.Parse(points[i].Id.Split('-')[^1].AsSpan(1), CultureInfo.InvariantCulture);
                bool rips = points[i].Kind is "ring" or "penetrometer" or "core";
                Assert.Equal(rips && number % 2 == 0, points[i].OnRip);
                double off = Math.Abs(((points[i].Y - 10 + 1.5) % Spacing) - 1.5);
                Assert.True(!points[i].OnRip || Math.Abs(off - 0.35) < 1e-6, FormattableString.Invariant($"{points[i].Id} lies {off:0.000} m from the line"));
                gaps.Add((int)((points[i].Y - plot.Shape.EnvelopeInternal.MinY - 1.5) / Spacing));
            }

            // Photos look along the rows, which run due east and west.
            Assert.All(design.Points.Where(p => p.Plot == plot.Id && p.Kind == "photo"), p => Assert.Contains(p.Bearing, (double[])[90, 270]));
        }

        Assert.Superset(new HashSet<int> { 0, 1, 2 }, gaps);
    }

    [Fact]
    public void TheSeedDrawsTheLots()
    {
        string[] lots = [.. Enumerable.Range(1, 12).Select(seed => string.Join(' ', Laid(Rows(40, 400), new TrialOptions { Blocks = 5, Seed = (ulong)seed }).Plots.Select(p => p.Treatment)))];

        // Of 32 orders of two in five blocks twelve draws seldom give fewer than eight (1 in 10^3, counted by machine); one seed for all would give one.
        Assert.True(lots.Distinct().Count() >= 7, $"{lots.Distinct().Count()}");
        Assert.Equal(lots[4], string.Join(' ', Laid(Rows(40, 400), new TrialOptions { Blocks = 5, Seed = 5 }).Plots.Select(p => p.Treatment)));
    }

    // Five passes carry no pair of plots: places of four passes to come back to, as many as lie apart, and six at the most.
    [Fact]
    public void PlacesToWatch_AreAsManyAsFit_UpToSix()
    {
        Assert.Equal(5, Laid(Rows(5, 500), new TrialOptions()).Blocks.Count);
        TrialDesign six = Laid(Rows(5, 900), new TrialOptions());
        Assert.Equal((TrialKind.Monitored, 6), (six.Kind, six.Blocks.Count));
        Assert.Contains("a monitored comparison at 6 places", string.Join(' ', six.Notes), StringComparison.Ordinal);
    }

    [Fact]
    public void Notes_SayWhatThreeBlocksCanShow()
    {
        TrialOptions options = new() { Blocks = 3 };
        TrialDesign design = Laid(Rows(60, 400), options);
        string said = string.Join(' ', design.Notes);

        // A paired t of three blocks: the least difference with a power of 0.8 is (t(0.975; 2) + t(0.8; 2)) s / sqrt(3) or nearly: 4.303 and 1.061 (Student's table).
        double rough = Math.Exp((4.303 + 1.061) * options.SpreadOfDifferences / Math.Sqrt(3));
        double told = double.Parse(said.Split("the smallest ratio they show with 80 % is ")[1].Split(". ")[0].TrimEnd('.'), CultureInfo.InvariantCulture);
        Assert.InRange(told, 0.75 * rough, 1.25 * rough);
        Assert.Contains("With 3 blocks a randomisation test cannot give less than p = 0.25", said, StringComparison.Ordinal);
        Assert.DoesNotContain("were wanted and", said, StringComparison.Ordinal);
    }
}
