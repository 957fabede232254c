using CsCheck;
using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Terrain;

/// <summary>All levels in one sweep, against tracing one level at a time, and on heights that meet the levels exactly.</summary>
public sealed class ContourSweepTests
{
    // Whole heights: plenty of saddles, flats and holes.
    private static readonly Gen<ElevationGrid> Ground = Gen.Select(Gen.Int[1, 12], Gen.Int[1, 20]).SelectMany(
        size => Gen.Frequency((9, Gen.Int[0, 4].Select(i => (float)i)), (1, Gen.Const(float.NaN))).Array[size.Item1 * size.Item2]
            .Select(z => Surfaces.Listed(size.Item1, size.Item2, 2, z)));

    private static HashSet<(double, double, double, double)> Steps(IEnumerable<Coordinate[]> lines) =>
        [.. lines.SelectMany(p => Enumerable.Range(1, p.Length - 1).Select(i => (p[i - 1].X, p[i - 1].Y, p[i].X, p[i].Y)))];

    [Fact]
    public void Trace_AnyGridBetweenHeights_TakesTheStepsOfOneLevelAtATime() => Ground.Sample(
        ground =>
        {
            double[] values = Array.ConvertAll(ground.Heights.ToArray(), z => (double)z);
            double[] levels = [0.5, 1.25, 1.5, 3.75];
            IReadOnlyList<ContourLine> lines = ContourLines.Trace(ground, levels);
            foreach (double level in levels)
            {
                IReadOnlyList<ContourPath> plain = ContourTracer.Trace(values, ground.Frame, level);
                ContourLine[] swept = [.. lines.Where(l => l.Height.Equals(level))];
                Assert.Equal(plain.Count(p => p.Closed), swept.Count(l => l.IsClosed));
                Assert.Equal(plain.Count, swept.Length);
                Assert.Equal(Steps(plain.Select(p => p.Points)), Steps(swept.Select(l => l.Line.Coordinates)));
            }
        },
        iter: 3000);

    [Fact]
    public void Trace_AnyGridThroughHeights_LinesNeitherTouchNorCross() => Ground.Sample(
        ground =>
        {
            IReadOnlyList<ContourLine> lines = ContourLines.Trace(ground, [1, 2, 3, 4]);
            for (int i = 0; i < lines.Count; i++)
            {
                Assert.True(lines[i].Line.IsSimple);
                Assert.Equal(lines[i].IsClosed, lines[i].Line.IsClosed);
                for (int j = 0; j < i; j++)
                {
                    Assert.False(lines[i].Line.Intersects(lines[j].Line));
                }
            }
        },
        iter: 2000);

    // A bowtie: the middle cell is exactly at the level, higher cells to the west and east, lower to the north and south.
    [Fact]
    public void Trace_CentreTouchedTwice_IsPassedOnTwoSides()
    {
        ElevationGrid ground = Surfaces.Listed(3, 5, 1,
            0, 0, 0, 0, 0,
            0, 3, 2, 3, 0,
            0, 0, 0, 0, 0);
        ContourLine line = Assert.Single(ContourLines.Trace(ground, [2]));
        Assert.True(line.IsClosed);
        Assert.True(line.Line.IsSimple);
        double[] near = [.. line.Line.Coordinates.Where(p => Math.Abs(p.X - 2.5) < 1e-9).Select(p => Math.Abs(p.Y - 1.5)).Order()];
        Assert.Equal(2, near.Length);
        Assert.Equal(0, near[0]);
        Assert.InRange(near[1], 0.9e-6, 1.1e-6);
    }

    [Fact]
    public void Trace_TurnedGround_TurnsTheLines() => Ground.Sample(
        ground =>
        {
            GridFrame f = ground.Frame;
            float[] z = ground.Heights.ToArray();
            Array.Reverse(z);
            double[] levels = [0.5, 2.5];
            (double x, double y) = (f.West + f.East, f.North + f.South);
            HashSet<(double, double, double, double)> turned =
                [.. Steps(ContourLines.Trace(ground, levels).Select(l => l.Line.Coordinates)).Select(s => (x - s.Item1, y - s.Item2, x - s.Item3, y - s.Item4))];
            HashSet<(double, double, double, double)> found = Steps(ContourLines.Trace(ElevationGrid.Copy(f, z), levels).Select(l => l.Line.Coordinates));
            Assert.Equal(turned.Count, found.Count);
            Assert.All(found, s => Assert.Contains(turned, t =>
                Math.Abs(s.Item1 - t.Item1) + Math.Abs(s.Item2 - t.Item2) + Math.Abs(s.Item3 - t.Item3) + Math.Abs(s.Item4 - t.Item4) < 1e-9));
        },
        iter: 500);

    [Fact]
    public void Trace_AddedConstant_MovesTheLevelsOnly() => Ground.Sample(
        ground =>
        {
            ElevationGrid raised = Surfaces.Changed(ground, (_, _, z) => z + 64);
            Assert.Equal(
                Steps(ContourLines.Trace(ground, [0.5, 1, 2]).Select(l => l.Line.Coordinates)),
                Steps(ContourLines.Trace(raised, [64.5, 65, 66]).Select(l => l.Line.Coordinates)));
        },
        iter: 500);
}
