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
