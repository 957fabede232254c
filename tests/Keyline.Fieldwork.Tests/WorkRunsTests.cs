using Keyline.Guidance;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Lines joined into runs, point by point, on stops made by hand.</summary>
public sealed class WorkRunsTests
{
    private static LineString Line(params (double X, double Y)[] points) => new([.. points.Select(p => new Coordinate(p.X, p.Y))]);

    // Out north at x = 0, half round to the right on a radius of 2 m, and 3 m on down the next line, where the axle is when the shanks are let down.
    private static RowChange Change(RowChangeKind kind = RowChangeKind.Forward, (double, double)? taken = null) =>
        new(new TurnPath(new Pose(0, 10, Math.PI / 2), [new TurnPiece(2 * Math.PI, -0.5), new TurnPiece(kind == RowChangeKind.Reversing ? -3 : 3, 0)]), kind, 9, taken);

    private static WorkStop First(string warning = "") => new(1, new WorkLine("A", Line((0, 0), (0, 10)), warning), Line((0, 0), (0, 10)), false, null);

    private static WorkStop Next(int number, RowChange change, LineString? course = null)
    {
        LineString line = course ?? Line((4, 10), (4, 8), (4, 7.05), (4, 6.95), (4, 6.85), (4, 5), (4, 0));
        return new(number, new WorkLine("B" + number, line), line, false, change);
    }

    // The way ends 3 m along the next line: of that, points up to 3.1 m along are passed already, as seen from its start, and the rest follows.
    [Fact]
    public void AtAJoint_TheNextLineGoesOnFromWhereTheWayEnds()
    {
        PlannedPath run = Assert.Single(Assert.Single(WorkRuns.Of([First("steep"), Next(2, Change())], 9, true)));
        Assert.Equal(("001-002 A+1!", 1, "A: steep; B2"), (run.Id, run.Sequence, run.Note));
        Coordinate[] c = run.Line.Coordinates;
        Assert.Equal([new(0, 0), new(0, 10)], c[..2]);
        Assert.Equal([new(4, 6.85), new(4, 5), new(4, 0)], c[^3..]);
        Coordinate[] way = c[2..^3];

        // 2 pi m of arc in 13 parts of half a metre or less, 3 m straight in 6, and where they begin.
        Assert.Equal(1 + 13 + 6, way.Length);
        Assert.Equal((0.0, 10.0), (way[0].X, way[0].Y));
        Assert.All(way[1..14].Select((p, i) => (p, i)), q => Assert.Equal(0, q.p.Distance(new Coordinate(2 - (2 * Math.Cos((q.i + 1) * Math.PI / 13)), 10 + (2 * Math.Sin((q.i + 1) * Math.PI / 13)))), 1e-9));
        Assert.Equal([9.5, 9, 8.5, 8, 7.5, 7], way[14..].Select(p => Math.Round(p.Y, 9)));
        Assert.All(way, p => Assert.True(double.IsNaN(p.Z)));
    }

    [Fact]
    public void OnlyForwardTurnsThatFit_AreJoints()
    {
        string[] Ids(bool join, RowChange change) => [.. WorkRuns.Of([First(), Next(2, change)], 9, join).SelectMany(f => f).Select(p => p.Id)];
        Assert.Equal(["001-002 A+1"], Ids(true, Change()));
        Assert.Equal(["001 A", "002 B2"], Ids(false, Change()));
        Assert.Equal(["001 A", "002 B2"], Ids(true, Change(taken: (3, 11))));
        Assert.Equal(["001 A", "002 B2"], Ids(true, Change(RowChangeKind.Reversing)));
        Assert.Equal(["001 A", "002 B2"], Ids(true, Change(RowChangeKind.Link)));
    }

    // Twelve lines to a run at most, and so many runs to a file.
    [Fact]
    public void RunsAndFiles_AreCutWhenFull()
    {
        WorkStop[] stops = [First(), .. Enumerable.Range(2, 24).Select(n => Next(n, Change()))];
        IReadOnlyList<IReadOnlyList<PlannedPath>> files = WorkRuns.Of(stops, 2, true);
        Assert.Equal([["001-012 A+11", "013-024 B13+11"], ["025 B25"]], files.Select(f => f.Select(p => p.Id)));
        Assert.Equal([1, 2, 3], files.SelectMany(f => f).Select(p => p.Sequence));
        Assert.Throws<ArgumentOutOfRangeException>(() => WorkRuns.Of(stops, 0, true));
        Assert.Throws<ArgumentNullException>(() => WorkRuns.Of(null!, 1, true));
        Assert.Empty(WorkRuns.Of([], 1, true));
    }
}
