using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>Lines over ground set free: what was cut runs through again, what stopped goes on, what is bare gets new lines; all others stay the very ones.</summary>
public sealed class FreedRevisionTests
{
    private const double Spacing = 3;
    private const double Headland = 6;
    private static readonly GeometryFactory Factory = GeometryFactory.Default;
    private static readonly LayoutOptions Options = new() { Spacing = Spacing, Headland = Headland, MinimumRadius = 8, MinimumLength = 30 };

    // A plane that falls 4 % to the south, and on it a field of 180 m by 180 m with lines due east, 3 m apart, from headland to headland.
    private static readonly ElevationGrid Plane = Surfaces.Make(400, 400, 2, Surfaces.Plane(50, 0, 0.04));
    private static readonly FieldArea Farm = new(Box(110, 110, 290, 290), [new AvoidedArea(Box(112, 112, 114, 114), 1, "shed")], "north");

    private static readonly CheckedLine[] Rows = [.. Enumerable.Range(0, 55).Select(i => new CheckedLine(FormattableString.Invariant($"R{i + 1:000}"), "", Row(116, 284, 120 + (Spacing * i))))];

    [Fact]
    public void WhatWasCut_RunsThroughAgain_UnderItsOldNameAndOnItsOldCourse()
    {
        AvoidedArea pond = new(new Point(200, 170), 10, "pond");
        LayoutRevision cut = LayoutRevision.Of(Rows, Farm, [pond], Spacing, 8);
        string[] halved = [.. cut.Changes.Where(c => c.Kind == LineChangeKind.Cut).Select(c => c.Line)];
        Assert.InRange(halved.Length, 5, 7);
        LayoutRevision again = Freed(cut.Lines, cut.Field, new FreedGround(new Point(201, 169), "pond gone"));
        Assert.Equal(Farm.Avoided.Count, again.Field.Avoided.Count);
        Assert.Equal(halved, again.Changes.Where(c => c.Sentence.Contains(" run through ", StringComparison.Ordinal)).Select(c => c.Pieces.Single()));
        Assert.Equal(Rows.Select(r => r.Id), again.Lines.Select(l => l.Id));
        Assert.All(again.Changes.Where(c => c.Sentence.Contains(" run through ", StringComparison.Ordinal)), c => Assert.Equal(cut.Changes.Single(w => w.Line == c.Pieces[0]).Lost, c.Gained, 0.05));
        Assert.All(again.Lines.Where(l => halved.Contains(l.Id)), l =>
        {
            CheckedLine was = Rows.Single(r => r.Id == l.Id);
            Assert.Equal(168, l.Line.Length, 0.02);
            Assert.True(l.Line.Within(was.Line.Buffer(0.03)), l.Id);
            Assert.Equal(was.Line.StartPoint.Coordinate, l.Line.StartPoint.Coordinate);
            Assert.All(l.Line.Coordinates, c => Assert.Equal(50 + (0.04 * c.Y), c.Z, 0.02));
        });
        string joined = again.Changes.First(c => c.Gained > 0).Sentence;
        Assert.Matches("^R0\\d\\da and R0\\d\\db run through as R0\\d\\d, with \\d+ m more\\.$", joined);
        AssertOthersSame(cut, again, halved);
        Assert.Empty(again.Findings);
    }

    // Fences moved 25 m to the east and 40 m to the north: lines go on to 6 m from the new one, and new ones lie at multiples of the spacing from the last.
    [Fact]
    public void AFenceMovedOutward_MakesLinesLonger_OrGetsNewOnes()
    {
        LayoutRevision east = Freed(Given(Rows), Farm, new FreedGround(Box(290, 110, 315, 290), "east"));
        Assert.True(east.Freed!.IsWider);
        Assert.Equal(55, east.Changes.Count);
        Assert.All(east.Changes, c => Assert.Equal(LineChangeKind.Longer, c.Kind));
        Assert.All(east.Changes, c => Assert.Equal(25, c.Gained, 0.2));
        Assert.All(east.Lines, l => Assert.Equal(315 - Headland, l.Line.Coordinates.Max(c => c.X), 0.1));
        Assert.All(east.Lines, l => Assert.Equal(Rows.Single(r => r.Id == l.Id).Line.StartPoint.Coordinate, l.Line.StartPoint.Coordinate));

        LayoutRevision north = Freed(Given(Rows), Farm, new FreedGround(Box(110, 290, 290, 331), "north"));
        LineChange[] fresh = [.. north.Changes.Where(c => c.Kind == LineChangeKind.New)];
        Assert.Equal(Rows.Select(r => r.Id), north.Lines.Take(55).Select(l => l.Id));
        Assert.All(north.Lines.Take(55), (l, i) => Assert.Same(Rows[i].Line, l.Line));
        double[] offs = [.. north.Lines.Skip(55).Select(l => l.Line.Coordinates.Average(c => c.Y)).Order()];

        // From 284 m on (the old headland) to 325: the rows at 285 to 324 are those of the family of 120, 123, ...
        Assert.Equal(Enumerable.Range(0, offs.Length).Select(k => 285 + (Spacing * k)), offs.Select(y => Math.Round(y, 1)));
        Assert.InRange(offs[^1], 321, 324.01);
        Assert.Equal(offs.Length, fresh.Length);
        Assert.Equal(Enumerable.Range(56, offs.Length).Select(n => FormattableString.Invariant($"R{n:000}")).Order(), fresh.Select(c => c.Line).Order());
        Assert.All(north.Lines.Skip(55), l => Assert.Equal(168, l.Line.Length, 0.2));
        Assert.Contains("R056 is new, 168 m.", fresh.Select(c => c.Sentence));
    }

    [Fact]
    public void OnACone_CoursesAreItsCircles_AtTheSpacing_ClearOfAllOthers()
    {
        // Contours about (200, -100): lines on circles 3 m apart, with a thing of 36 m taken out of their middle that no line was ever one across.
        Point top = new(200, -100);
        ElevationGrid cone = Surfaces.Make(400, 400, 2, (x, y) => 80 - (0.05 * Math.Sqrt(((x - 200) * (x - 200)) + ((y + 100) * (y + 100)))));
        AvoidedArea gone = new(new Point(200, 200), 18, "stack");
        FieldArea farm = new(Box(110, 110, 290, 290), [gone], "round");
        List<RevisedLine> lines = [];
        for (double r = 225; r < 380; r += Spacing)
        {
            LineString whole = Factory.CreateLineString([.. Enumerable.Range(-90, 181).Select(k => (k * 0.004, r)).Select(p => new Coordinate(200 + (p.r * Math.Sin(p.Item1)), -100 + (p.r * Math.Cos(p.Item1))))]);
            Geometry inside = whole.Intersection(farm.Within(Headland).Difference(gone.KeptClear));
            lines.AddRange(Enumerable.Range(0, inside.NumGeometries).Select(inside.GetGeometryN).OfType<LineString>().Where(l => l.Length >= 30).Select(l => Named(lines.Count, l)));
        }

        LayoutRevision revision = Freed(lines, farm, new FreedGround(new Point(200, 200)), cone);
        LineChange[] joined = [.. revision.Changes.Where(c => c.Sentence.Contains(" run through ", StringComparison.Ordinal))];
        Assert.InRange(joined.Length, 12, 14);
        Assert.All(joined, c => Assert.Matches("^(R\\d+) and R\\d+ run through as \\1, with", c.Sentence));
        RevisedLine[] changed = [.. revision.Lines.Where(l => l.IsChanged)];
        Assert.All(changed, l => Assert.All(l.Line.Coordinates, c =>
        {
            double r = c.Distance(top.Coordinate);
            Assert.True(Math.Abs(r - 225 - (Spacing * Math.Round((r - 225) / Spacing))) < 0.15, FormattableString.Invariant($"{l.Id} {c.X:F1} {c.Y:F1}"));
        }));
        Assert.Empty(revision.Lines.SelectMany(a => revision.Lines.Where(b => b != a && a.Line.Distance(b.Line) < 0.9 * Spacing).Select(b => a.Id + " " + b.Id)));
        Assert.Equal(lines.Count - joined.Length, revision.Lines.Count);
        Assert.Empty(revision.Findings);
    }

    [Fact]
    public void AThingThatIsSmaller_FreesOnlyWhatItsSetbackLeaves()
    {
        AvoidedArea barn = new(Box(180, 150, 220, 190), 5, "barn");
        LayoutRevision cut = LayoutRevision.Of(Rows, Farm, [barn], Spacing, 8);
        LayoutRevision half = Freed(cut.Lines, cut.Field, new FreedGround(Box(175, 170, 225, 195), "half of the barn"));
        AvoidedArea left = half.Field.Avoided.Single(a => a.Name == "barn");
        Assert.Equal(40.0 * 20, left.Shape.Area, 0.01);
        Assert.Equal(5, left.Setback);
        Assert.True(half.Freed!.IsLess(left));
        Assert.False(half.Freed.IsLess(half.Field.Avoided[0]));
        Assert.False(half.Freed.IsWider);
        Assert.All(half.Lines, l => Assert.False(l.Line.Intersects(left.KeptClear.Buffer(-0.05)), l.Id));
        Assert.Equal(55 + cut.Lines.Count(l => l.Id.EndsWith('b')) - half.Changes.Count(c => c.Sentence.Contains(" run through ", StringComparison.Ordinal)), half.Lines.Count);
        Assert.InRange(half.Changes.Count(c => c.Sentence.Contains(" run through ", StringComparison.Ordinal)), 6, 7);
    }

    [Fact]
    public void NotesThatSetNothingFree_AreRefused()
    {
        FieldArea farm = new(Farm.Boundary, [.. Farm.Avoided, new AvoidedArea(Factory.CreateLineString([new Coordinate(150, 110), new Coordinate(150, 290)]), 1, "gas") { HandDig = 0.6 }]);
        Assert.Contains("sets nothing free", Assert.Throws<GroundDataException>(() => FreedField.Of(farm, [new FreedGround(new Point(200, 200))])).Message, StringComparison.Ordinal);
        Assert.Contains("located service", Assert.Throws<GroundDataException>(() => FreedField.Of(farm, [new FreedGround(new Point(150, 200), "gas")])).Message, StringComparison.Ordinal);
        Assert.Contains("lies 10 m from the field", Assert.Throws<GroundDataException>(() => FreedField.Of(farm, [new FreedGround(Box(300, 110, 330, 290))])).Message, StringComparison.Ordinal);

        // The setback alone is not the thing: ground beside the shed stays kept off. A gap of a metre along the fence is closed, and a located line under an area stays.
        Assert.Throws<GroundDataException>(() => FreedField.Of(farm, [new FreedGround(Box(114.2, 111, 115, 115))]));
        FreedField wider = FreedField.Of(farm, [new FreedGround(Box(100, 291, 300, 330))]);
        Assert.Equal((180.0 * 181) + (200 * 39), wider.Field.Boundary.Area, 4.0);
        Assert.IsType<Polygon>(wider.Field.Boundary);
        Assert.Same(farm.Avoided[1], wider.Avoided[1]);
        Assert.Null(FreedField.Of(farm, [new FreedGround(Box(111, 111, 116, 116))]).Avoided[0]);
    }

    private static void AssertOthersSame(LayoutRevision before, LayoutRevision after, string[] changed) =>
        Assert.All(before.Lines.Where(l => !changed.Contains(l.Source)), l => Assert.Same(l.Line, after.Lines.Single(a => a.Id == l.Id).Line));

    private static RevisedLine[] Given(IEnumerable<CheckedLine> lines) => [.. lines.Select(l => new RevisedLine(l.Id, l.Id, l.Line, false))];

    private static RevisedLine Named(int at, LineString line) => new(FormattableString.Invariant($"R{at + 1:000}"), FormattableString.Invariant($"R{at + 1:000}"), line, false);

    private static LayoutRevision Freed(IReadOnlyList<RevisedLine> lines, FieldArea field, FreedGround note, ElevationGrid? ground = null)
    {
        FreedField freed = FreedField.Of(field, [note]);
        LayoutRevision unchanged = LayoutRevision.Of([.. lines.Select(l => new CheckedLine(l.Id, "", l.Line))], field, [], Spacing, 8);
        return FreedRevision.Of(unchanged, freed, FieldSurvey.Prepare(ground ?? Plane, freed.Field, Options, cancellationToken: TestContext.Current.CancellationToken), TestContext.Current.CancellationToken);
    }

    private static LineString Row(double west, double east, double y) => Factory.CreateLineString([new CoordinateZ(west, y, 50 + (0.04 * y)), new CoordinateZ(east, y, 50 + (0.04 * y))]);

    private static Geometry Box(double west, double south, double east, double north) => Factory.ToGeometry(new Envelope(west, east, south, north));
}
