using System.Text;
using Keyline.Field;
using Keyline.Fieldwork;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Trials laid out on made plans: no plot where it may not be, every treatment in every block, the same for the same seed.</summary>
public sealed class TrialDesignTests
{
    private static Polygon Box(double west, double south, double east, double north) => (Polygon)GeometryFactory.Default.ToGeometry(new Envelope(west, east, south, north));

    // Parallel waves, driven to and fro.
    private static WorkLine[] Waves(int count, double spacing, double length, double height = 0, double wave = 300, double slant = 0) => [.. Enumerable.Range(0, count).Select(i =>
    {
        Coordinate[] at = [.. Enumerable.Range(0, (int)(length / 10) + 1).Select(k => new Coordinate(10 + (10 * k), 10 + (spacing * i) + (height * Math.Sin(2 * Math.PI * k * 10 / wave)) + (slant * k * 10)))];
        return new WorkLine($"R{i + 1:000}", new LineString(i % 2 == 0 ? at : [.. at.Reverse()]));
    })];

    private static TrialSite Site(WorkLine[] lines, Geometry boundary, double spacing, params AvoidedArea[] avoided) => new() { Lines = lines, Field = new FieldArea(boundary, avoided, "Test"), Spacing = spacing };

    [Fact]
    public void Trial_HasEveryTreatmentInEveryBlock_AndThePowerItSays()
    {
        TrialOptions options = new() { Treatments = [TrialTreatment.Parse("ripped"), TrialTreatment.Parse("unripped"), TrialTreatment.Parse("deep 60 cm")], Blocks = 5, Seed = 3 };
        TrialDesign design = TrialDesigner.Design(Site(Waves(60, 3, 500), Box(0, 0, 520, 200), 3), options, TestContext.Current.CancellationToken);
        Assert.Equal(TrialKind.Randomised, design.Kind);
        Assert.Equal(5, design.Blocks.Count);
        Assert.All(design.Plots.GroupBy(p => p.Block), b => Assert.Equal(["deep", "ripped", "unripped"], b.Select(p => p.Treatment).Order(StringComparer.Ordinal)));
        Assert.All(design.Plots, p => Assert.Equal(4 * 3 * 80, p.Shape.Area, 20.0));
        Assert.All(design.Plots, p => Assert.Equal(4, p.Lines.Count));
        Assert.Contains(design.Plots, p => p.Treatment != design.Plots[0].Treatment && p.Id[^2..] == "P1");
        double promised = TrialPower.Blocks(5, Math.Log(2), design.Options.SpreadOfDifferences);
        Assert.Contains(design.Notes, n => n.Contains($"showing a ratio of 2 is {100 * promised:0} %", StringComparison.Ordinal));
        Assert.Contains(design.Notes, n => n.Contains("24 single rings a side", StringComparison.Ordinal));
    }

    // Passes of a block, counted: so many a plot, and between two plots those that belong to none.
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(3)]
    public void Blocks_HaveTheirPassesAndBuffers(int buffer)
    {
        TrialOptions options = new() { Treatments = [TrialTreatment.Parse("ripped"), TrialTreatment.Parse("unripped"), TrialTreatment.Parse("deep")], Blocks = 3, Buffer = buffer };
        TrialDesign design = TrialDesigner.Design(Site(Waves(60, 3, 500), Box(0, 0, 520, 200), 3), options, TestContext.Current.CancellationToken);
        Assert.All(design.Blocks, b => Assert.Equal(((3 * 4) + (2 * buffer)) * 3, b.Shape.EnvelopeInternal.Height, 1e-6));
        foreach (IGrouping<int, TrialPlot> block in design.Plots.GroupBy(p => p.Block))
        {
            int[][] passes = [.. block.Select(p => p.Lines.Select(l => int.Parse(l[1..], System.Globalization.CultureInfo.InvariantCulture)).Order().ToArray()).OrderBy(p => p[0])];
            Assert.All(passes, p => Assert.Equal(3, p[^1] - p[0]));
            Assert.All(passes.Zip(passes.Skip(1)), p => Assert.Equal(buffer + 1, p.Second[0] - p.First[^1]));
            Assert.All(block, p => Assert.True(design.Blocks[p.Block - 1].Shape.Buffer(1e-6).Contains(p.Shape), p.Id));

            // The outer passes lie half a pass inside the plot.
            Assert.All(block, p => Assert.Equal(4 * 3, p.Shape.EnvelopeInternal.Height, 1e-6));
        }

        // Blocks keep a buffer from each other too, half a pass at the least.
        Assert.All(design.Blocks.SelectMany(a => design.Blocks.Where(b => b.Number < a.Number).Select(b => a.Shape.Distance(b.Shape))), d => Assert.True(d >= (Math.Max(buffer, 0.5) * 3) - 1e-6, $"{d}"));
    }

    // Passes nearer than 0.6 or farther than 1.5 of the spacing are no neighbours: no block lies across them.
    [Theory]
    [InlineData(6.0)]
    [InlineData(1.0)]
    public void Neighbours_LieAboutASpacingApart(double odd)
    {
        double[] at = [.. Enumerable.Range(0, 14).Select(i => 10 + (3.0 * i)), .. Enumerable.Range(0, 14).Select(i => 49 + odd + (3.0 * i))];
        WorkLine[] lines = [.. at.Select((y, i) => new WorkLine($"R{i + 1:000}", new LineString([new Coordinate(10, y), new Coordinate(310, y)])))];
        TrialDesign design = TrialDesigner.Design(Site(lines, Box(0, 0, 320, 140), 3), new TrialOptions { Blocks = 20 }, TestContext.Current.CancellationToken);
        Assert.True(design.Blocks.Count >= 4);
        Assert.All(design.Blocks, b => Assert.Equal(27, b.Shape.EnvelopeInternal.Height, 1e-6));
        Assert.Contains(design.Blocks, b => b.Shape.Centroid.Y < 50);
        Assert.Contains(design.Blocks, b => b.Shape.Centroid.Y > 50);
    }

    // Quarter circles about a point: where the inner pass is a fifth shorter than the outer, plots would not be of one size.
    [Fact]
    public void TightBends_CarryNoBlock()
    {
        WorkLine[] arcs = [.. Enumerable.Range(0, 45).Select(i => new WorkLine($"R{i + 1:000}", new LineString([.. Enumerable.Range(0, 46).Select(k => new Coordinate((20 + (3 * i)) * Math.Cos(k * Math.PI / 90), (20 + (3 * i)) * Math.Sin(k * Math.PI / 90)))])))];
        TrialDesign design = TrialDesigner.Design(Site(arcs, Box(-10, -10, 180, 180), 3), new TrialOptions { Blocks = 2, Length = 60 }, TestContext.Current.CancellationToken);
        Assert.Equal(TrialKind.Randomised, design.Kind);

        // Nine passes take 24 m: the inner one has four fifths of the outer from a radius of 96 m on.
        Point middle = new(0, 0);
        Assert.All(design.Blocks, b => Assert.True(b.Shape.Distance(middle) > 96 - 3 - 1.5, $"{b.Shape.Distance(middle)}"));
    }

    // West an even slope of 3 %; east one that steepens from 1 % to 17 % across the passes: there plots of a block are unlike.
    [Fact]
    public void Blocks_LieWhereTheGroundIsAlike()
    {
        static double Height(double x, double y) => x < 260 ? 0.03 * y : (0.01 * y) + (0.0004 * y * y);
        Keyline.Elevation.ElevationGrid grid = Keyline.Elevation.ElevationGrid.Copy(
            new Keyline.Elevation.GridFrame(rows: 120, columns: 280, cellSize: 2, -20, 220),
            [.. from row in Enumerable.Range(0, 120) from column in Enumerable.Range(0, 280) select (float)Height(-20 + (2 * column) + 1, 220 - (2 * row) - 1)]);
        Polygon field = Box(0, 0, 520, 200);
        TrialGround ground = TrialGround.Of(Keyline.Layout.GroundReading.Around(grid, field, 3), TestContext.Current.CancellationToken);
        Assert.Equal(3, ground.At(100, 100).Slope, 0.1);
        Assert.Equal(9, ground.At(400, 100).Slope, 0.3);
        Assert.True(double.IsNaN(ground.At(-500, 0).Slope));
        TrialSite site = Site(Waves(60, 3, 500), field, 3) with { Ground = ground };
        TrialOptions options = new() { Blocks = 2, MostPositionRange = 1, MostSlopeRange = 2.5 };
        TrialDesign few = TrialDesigner.Design(site, options, TestContext.Current.CancellationToken);
        Assert.All(few.Blocks, b => Assert.True(b.Shape.Centroid.X < 260, $"{b.Shape.Centroid.X}"));
        TrialPlot first = few.Plots[0];
        Assert.Equal(3, first.Slope, 0.2);
        Assert.Equal(few.Plots.Where(p => p.Block == 1).Max(p => p.Slope) - few.Plots.Where(p => p.Block == 1).Min(p => p.Slope), few.Blocks[0].SlopeRange, 1e-9);
        Assert.Equal(few.Plots.Where(p => p.Block == 1).Max(p => p.Position) - few.Plots.Where(p => p.Block == 1).Min(p => p.Position), few.Blocks[0].PositionRange, 1e-9);

        // As many as fit: none beyond the bounds, and bounds that nothing keeps leave none.
        TrialDesign many = TrialDesigner.Design(site, options with { Blocks = 30, MostSlopeRange = 0.5 }, TestContext.Current.CancellationToken);
        Assert.All(many.Blocks, b => Assert.True(b.SlopeRange <= 0.5));
        Assert.True(TrialDesigner.Design(site, options with { Blocks = 30 }, TestContext.Current.CancellationToken).Blocks.Count > many.Blocks.Count);
        double position = few.Blocks.Min(b => b.PositionRange);
        TrialDesign alike = TrialDesigner.Design(site, options with { Blocks = 30, MostSlopeRange = 100, MostPositionRange = position + 0.02 }, TestContext.Current.CancellationToken);
        Assert.All(alike.Blocks, b => Assert.True(b.PositionRange <= position + 0.02));
        Assert.True(TrialDesigner.Design(site, options with { Blocks = 30, MostSlopeRange = 100 }, TestContext.Current.CancellationToken).Blocks.Max(b => b.PositionRange) > position + 0.02);
    }

    // Drawn by lot: over many seeds each treatment stands first in about as many blocks.
    [Fact]
    public void Lots_FavourNobody()
    {
        TrialSite site = Site(Waves(40, 3, 300), Box(0, 0, 320, 140), 3);
        int first = 0, blocks = 0;
        for (ulong seed = 1; seed <= 10; seed++)
        {
            TrialDesign design = TrialDesigner.Design(site, new TrialOptions { Blocks = 4, Seed = seed }, TestContext.Current.CancellationToken);
            blocks += design.Blocks.Count;
            first += design.Plots.Count(p => p.Id.EndsWith("P1", StringComparison.Ordinal) && p.Treatment == "ripped");
        }

        // 40 lots: within 3.3 standard deviations of half.
        Assert.Equal(40, blocks);
        Assert.InRange(first, 10, 30);
    }

    [Fact]
    public void Points_KeepClearOfRipsAndWheels_OrLieOnTheRip()
    {
        WorkLine[] lines = Waves(40, 3, 400);
        TrialOptions options = new() { Blocks = 4, OnRip = true };
        TrialDesign design = TrialDesigner.Design(Site(lines, Box(0, 0, 420, 140), 3), options, TestContext.Current.CancellationToken);
        Assert.Equal(design.Plots.Count * options.Points.Values.Sum(), design.Points.Count);
        Assert.Equal(design.Points.Count, design.Points.Select(p => p.Id).Distinct().Count());
        foreach (TrialPoint point in design.Points)
        {
            TrialPlot plot = design.Plots.Single(p => p.Id == point.Plot);
            Point at = new(point.X, point.Y);
            Assert.True(plot.Shape.Contains(at), point.Id);
            double rip = lines.Min(l => l.Line.Distance(at));
            if (point.Kind == "photo")
            {
                Assert.InRange(point.Bearing, 0, 360);
                continue;
            }

            Assert.True(point.OnRip ? rip < 0.01 : rip > 0.34 && Math.Abs(rip - 0.9) > 0.29, $"{point.Id} lies {rip:0.00} m from a line");
            Assert.True(point.X - plot.Shape.EnvelopeInternal.MinX > 4.9 && plot.Shape.EnvelopeInternal.MaxX - point.X > 4.9, point.Id);
        }

        Assert.Contains(design.Points, p => p.OnRip);
        Assert.Contains(design.Points, p => p.Kind == "ring" && !p.OnRip);
    }

    [Fact]
    public void Zones_AreNotCrossed_AndAvoidedGroundIsLeft()
    {
        TrialZone[] zones = [new("clay", Box(0, 0, 150, 300)), new("loam", Box(220, 0, 600, 88))];
        AvoidedArea dam = new(Box(300, 20, 330, 50), 5, "Dam");
        TrialSite site = Site(Waves(60, 3, 500, 5), Box(0, 0, 520, 200), 3, dam) with { Zones = zones };
        TrialDesign design = TrialDesigner.Design(site, new TrialOptions { Blocks = 12 }, TestContext.Current.CancellationToken);
        Assert.True(design.Blocks.Count >= 4);
        Assert.All(design.Blocks, b => Assert.DoesNotContain(zones, z => z.Shape.Intersects(b.Shape) && !z.Shape.Contains(b.Shape)));
        Assert.All(design.Plots, p => Assert.False(p.Shape.Intersects(dam.KeptClear)));
        Assert.Contains(design.Blocks, b => b.Zone == "clay");

        // Without zones some block would lie across one of these edges.
        Assert.Contains(TrialDesigner.Design(site with { Zones = [] }, new TrialOptions { Blocks = 12 }, TestContext.Current.CancellationToken).Blocks, b => zones.Any(z => z.Shape.Intersects(b.Shape) && !z.Shape.Contains(b.Shape)));
        Assert.Contains(design.Blocks, b => b.Zone.Length == 0 || b.Zone == "loam");
    }

    [Fact]
    public void Split_PartsEveryPlot_ByLot()
    {
        TrialDesign design = TrialDesigner.Design(Site(Waves(40, 3, 400), Box(0, 0, 420, 140), 3), new TrialOptions { Blocks = 4, Split = ["grazed", "rested"] }, TestContext.Current.CancellationToken);
        Assert.All(design.Plots.GroupBy(p => p.Whole), g => Assert.Equal(["grazed", "rested"], g.Select(p => p.Split).Order(StringComparer.Ordinal)));
        Assert.True(design.Plots.Where(p => p.Id.EndsWith('a')).Select(p => p.Split).Distinct().Count() == 2);
        AssertApart(design);
    }

    [Fact]
    public void TooSmallAField_GetsPlacesToWatch_AndIsToldSo()
    {
        TrialDesign design = TrialDesigner.Design(Site(Waves(7, 3, 120), Box(0, 0, 140, 40), 3), new TrialOptions(), TestContext.Current.CancellationToken);
        Assert.Equal(TrialKind.Monitored, design.Kind);
        Assert.NotEmpty(design.Plots);
        Assert.All(design.Plots, p => Assert.Equal("ripped", p.Treatment));
        Assert.Contains(design.Notes, n => n.Contains("cannot carry a trial", StringComparison.Ordinal));
        Assert.Contains(design.Notes, n => n.Contains("not why", StringComparison.Ordinal));
    }

    [Fact]
    public void SameSeed_SameBytes_OtherSeed_OtherLots()
    {
        TrialSite site = Site(Waves(40, 3, 400, 8), Box(0, -20, 420, 160), 3);
        Assert.Equal(Written(5), Written(5));
        Assert.NotEqual(Written(5), Written(6));
        TrialPlan plan = TrialFile.Read(new MemoryStream(Encoding.UTF8.GetBytes(Written(5))), "trial.json");
        Assert.Equal("unripped", plan.Control);
        Assert.Equal((5UL, TrialKind.Randomised), (plan.Seed, plan.Kind));
        Assert.Equal(plan.Plots.Count * TrialPoint.UsualCounts.Values.Sum(), plan.Points.Count);

        string Written(ulong seed)
        {
            using MemoryStream stream = new();
            TrialFile.Write(stream, TrialDesigner.Design(site, new TrialOptions { Blocks = 4, Seed = seed }), at => (at.X / 1e5, at.Y / 1e5), "test");
            return Encoding.UTF8.GetString(stream.ToArray());
        }
    }

    [Theory]
    [InlineData("{}")]
    [InlineData("[1]")]
    [InlineData("""{"format":1,"kind":"randomised","treatments":[],"plots":[],"points":[]}""")]
    [InlineData("""{"format":1,"kind":"randomised","field":"","effect":2,"seed":1,"treatments":[{"id":"a","text":"a","control":true}],"plots":[{"id":"B1P1","block":1,"treatment":"b","split":""}],"points":[]}""")]
    [InlineData("""{"format":1,"kind":"randomised","field":"","effect":1,"seed":1,"treatments":[{"id":"a","text":"a","control":true},{"id":"b","text":"b","control":false}],"plots":[{"id":"B1P1","block":1,"treatment":"b","split":""}],"points":[]}""")]
    public void NoTrialFile_IsRefusedInASentence(string text)
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => TrialFile.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "trial.json"));
        Assert.StartsWith("trial.json:", e.Message, StringComparison.Ordinal);
    }

    // Random farms: outlines, lines and options of many kinds.
    [Fact]
    public void RandomFarms_GiveNoOverlap()
    {
        const int Farms = 12;
        SeededDraws draws = new(99);
        int trials = 0;
        for (int farm = 0; farm < Farms; farm++)
        {
            double spacing = 2 + (4 * draws.Share()), width = 80 + (500 * draws.Share());
            int lines = 3 + draws.Whole(60);
            WorkLine[] waves = Waves(lines, spacing, width, 30 * draws.Share(), 60 + (400 * draws.Share()), 0.3 * draws.Share());
            Envelope box = new();
            foreach (WorkLine line in waves)
            {
                box.ExpandToInclude(line.Line.EnvelopeInternal);
            }

            Geometry field = GeometryFactory.Default.ToGeometry(box).Buffer(5 - (30 * draws.Share()));
            if (field.IsEmpty)
            {
                continue;
            }

            AvoidedArea tree = new(new Point(box.MinX + (box.Width * draws.Share()), box.MinY + (box.Height * draws.Share())), 10 * draws.Share());
            TrialOptions options = new() { Blocks = 1 + draws.Whole(10), Passes = 2 + draws.Whole(4), Buffer = draws.Whole(3), Length = 40 + (80 * draws.Share()), LeastLength = 30, Seed = draws.Bits(), Split = draws.Whole(3) == 0 ? ["a", "b"] : [] };
            TrialDesign design = TrialDesigner.Design(Site(waves, field, spacing, tree), options, TestContext.Current.CancellationToken);
            trials += design.Kind == TrialKind.Randomised ? 1 : 0;
            AssertApart(design);
            Geometry within = field.Buffer(1e-6);
            Assert.All(design.Plots, p => Assert.True(within.Contains(p.Shape) && !p.Shape.Intersects(tree.KeptClear)));
        }

        Assert.InRange(trials, Farms / 4, Farms);
    }

    private static void AssertApart(TrialDesign design)
    {
        for (int i = 0; i < design.Plots.Count; i++)
        {
            Assert.True(design.Plots[i].Shape.IsValid && design.Plots[i].Shape.Area > 0, design.Plots[i].Id);
            for (int j = 0; j < i; j++)
            {
                Assert.True(design.Plots[i].Shape.Intersection(design.Plots[j].Shape).Area < 1e-6, $"{design.Plots[i].Id} and {design.Plots[j].Id} overlap");
            }
        }
    }
}
