using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.Tests.Drainage;

/// <summary>What is carried along D8 directions in bands of rows and along ways, against the plain twin: the same bits, over several bands.</summary>
public sealed class FlowAgainstPlainTests
{
    public static TheoryData<int, int, int> Grounds => new() { { 1, 400, 70 }, { 2, 300, 300 }, { 3, 700, 9 }, { 4, 129, 31 }, { 5, 3, 200 } };

    private static D8Directions Route(int seed, int rows, int columns, bool filled)
    {
        ElevationGrid ground = FastAgainstPlainTests.Lakes(rows, columns, (ulong)seed);
        return D8Directions.Route(filled ? DepressionFilling.Fill(ground) : ground);
    }

    // Unfilled ground has many short streams that end in hollows; filled ground few long ones that cross the bands.
    [Theory]
    [MemberData(nameof(Grounds))]
    public void Lengths_AnyGround_EqualPlain(int seed, int rows, int columns)
    {
        foreach (bool filled in new[] { true, false })
        {
            D8Directions directions = Route(seed, rows, columns, filled);
            Assert.Equal(PlainFlow.Down(directions), FlowLength.Downstream(directions).Values.ToArray());
            Assert.Equal(PlainFlow.Up(directions), FlowLength.Upstream(directions).Values.ToArray());
        }
    }

    [Theory]
    [MemberData(nameof(Grounds))]
    public void Ranks_AnyGround_EqualPlain(int seed, int rows, int columns)
    {
        D8Directions directions = Route(seed, rows, columns, true);
        Grid<double> area = FlowAccumulation.Compute(directions);
        int ranked = 0;
        foreach (double cells in new[] { 1, 3, 12.5, 60 })
        {
            byte[] expected = PlainFlow.Ranks(directions, area, cells * directions.Frame.CellArea);
            Assert.Equal(expected, StrahlerOrder.Compute(directions, area, cells * directions.Frame.CellArea).Values.ToArray());
            ranked = Math.Max(ranked, expected.Max());
        }

        Assert.True(ranked >= 3);
    }

    // Areas that fall on the way down: a channel that ends and begins again below starts at 1 there.
    [Fact]
    public void Ranks_AreasOfAnotherKind_EqualPlain()
    {
        D8Directions directions = Route(6, 260, 80, true);
        Random random = new(6);
        Grid<double> area = Grid.Copy<double>(directions.Frame, [.. Enumerable.Range(0, 260 * 80).Select(_ => random.NextDouble())]);
        Assert.Equal(PlainFlow.Ranks(directions, area, 0.4), StrahlerOrder.Compute(directions, area, 0.4).Values.ToArray());
    }

    [Theory]
    [MemberData(nameof(Grounds))]
    public void Weights_AnyGround_EqualPlain(int seed, int rows, int columns)
    {
        D8Directions directions = Route(seed, rows, columns, true);
        Random random = new(seed);
        Grid<float> rain = Grid.Copy<float>(directions.Frame, [.. Enumerable.Range(0, rows * columns).Select(_ => random.NextSingle())]);
        Assert.Equal(PlainFlow.Weighted(directions, rain), FlowAccumulation.Compute(directions, rain).Values.ToArray());
    }

    // Every cell below an outlet line has the number of the first outlet on its way down, found by walking it.
    [Fact]
    public void Catchments_AnyGround_AreTheFirstOutletOnTheWayDown()
    {
        D8Directions directions = Route(7, 300, 120, true);
        Grid<double> area = FlowAccumulation.Compute(directions);
        int[] places = [.. Enumerable.Range(0, area.Values.Length).Where(i => !double.IsNaN(area.Values[i])).OrderByDescending(i => area.Values[i]).Where((_, k) => k % 40 == 0).Take(6)];
        GridFrame frame = directions.Frame;
        Grid<int> labels = Catchments.OfPoints(directions, [.. places.Select(p => new NetTopologySuite.Geometries.Coordinate(frame.CentreX(p % frame.Columns), frame.CentreY(p / frame.Columns)))]);
        int labelled = 0;
        for (int i = 0; i < labels.Values.Length; i++)
        {
            int expected = 0;
            for (int at = directions.HasGround(i) ? i : -1; at >= 0 && expected == 0; at = directions.Receiver(at))
            {
                expected = Array.IndexOf(places, at) + 1;
            }

            Assert.Equal(expected, labels.Values[i]);
            labelled += expected > 0 ? 1 : 0;
        }

        Assert.InRange(labelled, 1000, labels.Values.Length - 1);
    }

    [Fact]
    public void Lengths_LongWay_CountEveryStep()
    {
        const int Rows = 5000;
        byte[] codes = new byte[Rows * 2];
        Array.Fill(codes, (byte)4);
        D8Directions directions = D8Directions.Copy(new GridFrame(Rows, 2, 3, 0, Rows * 3), codes);
        Grid<double> down = FlowLength.Downstream(directions);
        Grid<double> up = FlowLength.Upstream(directions);
        Assert.All(Enumerable.Range(0, Rows), r => Assert.Equal(3.0 * (Rows - 1 - r), down[r, 1]));
        Assert.All(Enumerable.Range(0, Rows), r => Assert.Equal(3.0 * r, up[r, 0]));
    }

    // A loop far from where the cells are met first, and one over the border of two bands.
    [Theory]
    [InlineData(200, 3)]
    [InlineData(127, 2)]
    public void Loops_AreNamed(int row, int column)
    {
        byte[] codes = new byte[300 * 6];
        Array.Fill(codes, (byte)4);
        codes[((row + 1) * 6) + column] = 0;
        D8Directions directions = D8Directions.Copy(new GridFrame(300, 6, 1, 0, 300), codes);
        Grid<double> area = Grid.Copy<double>(directions.Frame, new double[codes.Length]);
        Action[] calls =
        [
            () => FlowAccumulation.Compute(directions), () => FlowLength.Downstream(directions), () => FlowLength.Upstream(directions),
            () => StrahlerOrder.Compute(directions, area, 1), () => FlowAccumulation.Compute(directions, Grid.Copy<float>(directions.Frame, new float[codes.Length])),
        ];
        foreach (Action call in calls)
        {
            FlowLoopException error = Assert.Throws<FlowLoopException>(call);
            Assert.Contains(FormattableString.Invariant($"row {row}, column {column}"), error.Message, StringComparison.OrdinalIgnoreCase);
        }
    }
}
