using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

public sealed class DepthZoneTests
{
    private static DepthZone Zone(string name, double west, double east, double least) =>
        new(name, new Polygon(new LinearRing([new(west, -10), new(east, -10), new(east, 60), new(west, 60), new(west, -10)])), least, least + 0.025, "rip");

    private static readonly DepthZone A = Zone("A", 0, 40, 0.3), B = Zone("B", 40, 80, 0.4), Sliver = Zone("C", 20, 24, 0.5);

    // Along y = 0 from x = -20 to 100: nothing to 20 m, A to 60, B to 100, nothing to 120.
    [Fact]
    public void Stretches_CoverTheLineInOrder()
    {
        LineString line = new([new(-20, 0), new(30, 0), new(100, 0)]);
        IReadOnlyList<DepthStretch> found = DepthStretches.Along(line, [A, B]);
        Assert.Equal([null, "A", "B", null], found.Select(s => s.Zone?.Name));
        Assert.Equal([0, 20, 60, 100], found.Select(s => Math.Round(s.From)));
        Assert.Equal(120, found[^1].To, 1e-9);
        Assert.All(found.Zip(found.Skip(1)), p => Assert.Equal(p.First.To, p.Second.From, 1e-9));
        IReadOnlyList<DepthStretch> back = DepthStretches.Along((LineString)line.Reverse(), [A, B]);
        Assert.Equal([null, "B", "A", null], back.Select(s => s.Zone?.Name));
        Assert.Equal([0, 20, 60, 100], back.Select(s => Math.Round(s.From)));
    }

    [Fact]
    public void Stretches_AreNeverTooShortToSetADepth()
    {
        LineString line = new([new(2, 0), new(38, 0)]);
        Assert.Equal(["A"], DepthStretches.Along(line, [A, Sliver]).Select(s => s.Zone!.Name));
        Assert.Equal("B", DepthStretches.Along(new LineString([new(37, 0), new(80, 0)]), [A, B]).Single().Zone!.Name);
        Assert.Equal(["A", "C", "A"], DepthStretches.Along(line, [A, Zone("C", 15, 25, 0.5)]).Select(s => s.Zone!.Name));
        Assert.Equal("A", DepthStretches.Along(new LineString([new(3, 0), new(5, 0)]), [A]).Single().Zone!.Name);
        Assert.Null(DepthStretches.Along(line, []).Single().Zone);
    }

    [Fact]
    public void Depths_AreToldInWords()
    {
        Assert.Equal("30 to 32.5 cm", A.Depth);
        Assert.Equal("depth not known", (A with { Most = double.NaN }).Depth);
    }
}
