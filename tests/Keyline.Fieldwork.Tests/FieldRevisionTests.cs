using Keyline.Field;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

public sealed class FieldRevisionTests
{
    [Fact]
    public void Notes_CutLinesAtTheirSetback_AndLeaveTheOthersAlone()
    {
        WorkLine[] lines = [.. Rows.North(5, 10, 10).Select((l, i) => new WorkLine($"R{i + 1:000}", l, i == 1 ? "steep" : ""))];
        FieldArea field = new(Rows.Box(0, 0, 200, 200), [new AvoidedArea(new Point(150, 100), 3)], "north");
        FieldRevision revision = FieldRevision.Of(lines, field, [new AvoidedArea(new Point(30, 100), 4, "rock"), new AvoidedArea(Rows.Box(45, 20, 55, 200), 0, "wet spot")]);

        // The rock lies on the second line (x = 30), 4 m either way; the wet spot leaves 10 m of the fourth (x = 50) and covers nothing else.
        Assert.Equal(["R001", "R002a", "R002b", "R003", "R005"], revision.Lines.Select(l => l.Id));
        Assert.Same(lines[0], revision.Lines[0]);
        Assert.Same(lines[2], revision.Lines[3]);
        Assert.Equal(86, revision.Lines[1].Line.Length, 0.1);
        Assert.Equal("steep", revision.Lines[1].Warning);
        Assert.Equal(["R002", "R004"], revision.Changes.Select(c => c.Line));
        Assert.Equal(8, revision.Changes[0].Lost, 0.1);
        Assert.Contains("loses 8 m to rock and is now R002a, R002b", revision.Changes[0].Sentence, StringComparison.Ordinal);
        Assert.Contains("R004 is left out for wet spot", revision.Changes[1].Sentence, StringComparison.Ordinal);
        Assert.Empty(revision.Changes[1].Pieces);
        Assert.Equal(180, revision.Changes[1].Lost, 1e-9);
        Assert.Equal(3, revision.Field.Avoided.Count);
        Assert.Equal("north", revision.Field.Name);
        Assert.Empty(FieldRevision.Of(lines, field, []).Changes);
    }
}
