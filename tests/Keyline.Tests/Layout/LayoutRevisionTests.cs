using Keyline.Check;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>A layout revised for what was found since: only what meets it changes, and every change is told.</summary>
public sealed class LayoutRevisionTests
{
    private const double Spacing = 3;
    private static readonly GeometryFactory Factory = GeometryFactory.Default;
    private static readonly FieldArea Farm = new(Box(0, 0, 200, 200), [new AvoidedArea(new Point(190, 190), 3)], "north");

    // 30 lines of 180 m running north, 3 m apart, heights rising by 1 % along them.
    private static readonly CheckedLine[] Lines = [.. Enumerable.Range(0, 30).Select(i => new CheckedLine(
        FormattableString.Invariant($"R{i + 1:000}"), "G1", Factory.CreateLineString([new CoordinateZ(20 + (Spacing * i), 10, 1), new CoordinateZ(20 + (Spacing * i), 190, 2.8)])))];

    [Fact]
    public void ASmallThing_IsSteppedRound_WithinTheGapAndTheRadius()
    {
        // A stone of 1 m kept off by 0.5 m, 0.6 m beside the sixth line (x = 35): the line has to go some 0.9 m aside, on the side away from the stone.
        LayoutRevision revision = LayoutRevision.Of(Lines, Farm, [new AvoidedArea(Box(35.1, 99.5, 36.1, 100.5), 0.5, "stone")], Spacing, 8);
        LineChange change = Assert.Single(revision.Changes);
        Assert.Equal((LineChangeKind.Moved, "R006", 0.0), (change.Kind, change.Line, change.Lost));
        Assert.Equal(["R006"], change.Pieces);
        Assert.Contains("R006 steps up to", change.Sentence, StringComparison.Ordinal);
        Assert.Contains("aside round stone", change.Sentence, StringComparison.Ordinal);
        RevisedLine moved = Assert.Single(revision.Lines, l => l.IsChanged);
        Assert.Equal(Lines[5].Line.StartPoint.Coordinate, moved.Line.StartPoint.Coordinate);
        Assert.Equal(Lines[5].Line.EndPoint.Coordinate, moved.Line.EndPoint.Coordinate);
        Assert.False(moved.Line.Intersects(Box(34.61, 99.01, 36.59, 100.99)));
        Assert.All(revision.Lines.Where(l => !l.IsChanged), l => Assert.True(l.Line.Distance(moved.Line) >= (LayoutRevision.LeastGap * Spacing) - 0.02));
        Assert.InRange(moved.Line.Coordinates.Max(c => Math.Abs(c.X - 35)), 0.4, 0.45 * Spacing);
        Assert.All(Enumerable.Range(0, 29).Where(i => i != 5), i => Assert.Same(Lines[i].Line, revision.Lines[i].Line));
    }

    // Either of two neighbours may step 0.9 m into the 3 m between them, both may not: 1.2 m would be left where 1.65 m are asked.
    [Fact]
    public void TwoNeighbours_DoNotStepIntoTheSameGap()
    {
        AvoidedArea left = new(Box(33.9, 99.5, 34.9, 100.5), 1, "stone"), right = new(Box(38.1, 99.5, 39.1, 100.5), 1, "stump");
        Assert.Equal(LineChangeKind.Moved, Assert.Single(LayoutRevision.Of(Lines, Farm, [left], Spacing, 8).Changes).Kind);
        Assert.Equal(LineChangeKind.Moved, Assert.Single(LayoutRevision.Of(Lines, Farm, [right], Spacing, 8).Changes).Kind);
        Assert.Equal([LineChangeKind.Moved, LineChangeKind.Cut], LayoutRevision.Of(Lines, Farm, [left, right], Spacing, 8).Changes.Select(c => c.Kind));
    }

    [Fact]
    public void WithoutASpacing_LinesAreCutAndNotMoved() =>
        Assert.Equal(LineChangeKind.Cut, Assert.Single(LayoutRevision.Of(Lines, Farm, [new AvoidedArea(Box(35.1, 99.5, 36.1, 100.5), 0.5, "stone")], double.NaN, 8).Changes).Kind);

    [Fact]
    public void AWideThing_CutsLinesAtItsSetback_AndShortPiecesGo()
    {
        AvoidedArea[] found = [new AvoidedArea(new Point(35, 100), 7, "wet spot"), new AvoidedArea(Box(48, 20, 52, 200), 0, "fence")];
        LayoutRevision revision = LayoutRevision.Of(Lines, Farm, found, Spacing, 8);
        Assert.Equal(30 + 3 - 1, revision.Lines.Count);

        // Three lines are cut, the middle one along the whole diameter, those beside it along a chord, 2 sqrt(7^2 - 3^2) (geometry, computed here); those 6 m off have to go but a metre aside, and do.
        Assert.Equal(["R004", "R008"], revision.Changes.Where(c => c.Kind == LineChangeKind.Moved).Select(c => c.Line));
        Assert.All(revision.Changes.Where(c => c.Kind == LineChangeKind.Moved), c => Assert.Matches("up to 1\\.[0-3] m aside round wet spot", c.Sentence));
        LineChange middle = revision.Changes.Single(c => c.Line == "R006");
        Assert.Equal(LineChangeKind.Cut, middle.Kind);
        Assert.Equal(["R006a", "R006b"], middle.Pieces);
        Assert.Equal(14, middle.Lost, 0.1);
        Assert.Equal(2 * Math.Sqrt(40), revision.Changes.Single(c => c.Line == "R007").Lost, 0.15);
        LineChange gone = Assert.Single(revision.Changes, c => c.Kind == LineChangeKind.Gone);
        Assert.Equal(("R011", 180.0), (gone.Line, gone.Lost));
        Assert.Empty(gone.Pieces);
        Assert.Contains("no piece of 15 m remains", gone.Sentence, StringComparison.Ordinal);

        // In place and in order, with heights between those of the ends.
        int at = revision.Lines.ToList().FindIndex(l => l.Id == "R006a");
        Assert.Equal(["R005b", "R006a", "R006b", "R007a"], revision.Lines.Skip(at - 1).Take(4).Select(l => l.Id));
        Assert.Equal(1 + (1.8 * 83 / 180), revision.Lines[at].Line.EndPoint.Coordinate.Z, 0.02);
        Assert.All(revision.Lines, l => Assert.All(found, n => Assert.True(l.Line.Intersection(n.KeptClear).Length < 0.01)));
        Assert.Equal(Farm.Avoided.Concat(found), revision.Field.Avoided);
        Assert.Equal("north", revision.Field.Name);
    }

    [Fact]
    public void TwoNeighboursOfOneStone_NeverStepTowardEachOther_OrOthers()
    {
        LayoutRevision revision = LayoutRevision.Of(Lines, Farm, [new AvoidedArea(new Point(36.5, 100), 1.6, "stone"), new AvoidedArea(new Point(42.5, 100), 1.6, "stone")], Spacing, 8);
        Assert.NotEmpty(revision.Changes);
        for (int i = 0; i < revision.Lines.Count; i++)
        {
            for (int j = 0; j < i; j++)
            {
                Assert.True(revision.Lines[i].Source == revision.Lines[j].Source || revision.Lines[i].Line.Distance(revision.Lines[j].Line) >= (LayoutRevision.LeastGap * Spacing) - 0.02, $"{revision.Lines[i].Id} {revision.Lines[j].Id}");
            }
        }
    }

    [Fact]
    public void NothingMet_ChangesNothing_AndWithoutASpacingNothingStepsAside()
    {
        AvoidedArea stone = new(Box(35.1, 99.5, 36.1, 100.5), 0.5);
        Assert.Empty(LayoutRevision.Of(Lines, Farm, [new AvoidedArea(new Point(5, 5), 2)], Spacing, 8).Changes);
        LineChange cut = Assert.Single(LayoutRevision.Of(Lines, Farm, [stone], double.NaN, 8).Changes);
        Assert.Equal(LineChangeKind.Cut, cut.Kind);
        Assert.Contains("loses 2 m to a note and is now R006a, R006b", cut.Sentence, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => LayoutRevision.Of(Lines, Farm, [stone], 0, 8));
        Assert.Throws<ArgumentOutOfRangeException>(() => LayoutRevision.Of(Lines, Farm, [stone], 3, -1));
    }

    private static Geometry Box(double west, double south, double east, double north) => Factory.ToGeometry(new Envelope(west, east, south, north));
}
