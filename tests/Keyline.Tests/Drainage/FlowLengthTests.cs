using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>Lengths and weights on the directions of the teaching grid (D-1, see <see cref="D8Tests"/>), and on any ground.</summary>
public sealed class FlowLengthTests
{
    private static readonly D8Directions Teaching = D8Directions.Route(D8Tests.Teaching);

    // By hand along the published arrows: the north-west corner goes SE SE SE SE SE... to the outlet in the south.
    [Fact]
    public void Downstream_TeachingGrid_AddsUpTheArrows()
    {
        Grid<double> length = FlowLength.Downstream(Teaching);
        double d = Math.Sqrt(2);
        Assert.Equal(0, length[5, 4]);
        Assert.Equal(1, length[5, 3]);
        Assert.Equal(1, length[4, 4]);
        Assert.Equal(1 + d, length[3, 3], 12);
        Assert.Equal(1 + (2 * d), length[2, 2], 12);
        Assert.Equal(1 + (4 * d), length[0, 0], 12);
        Assert.Equal(4, length[5, 0]);
    }

    [Fact]
    public void Upstream_TeachingGrid_TakesTheLongestWay()
    {
        Grid<double> length = FlowLength.Upstream(Teaching);
        Assert.Equal(0, length[0, 0]);
        Assert.Equal(Math.Sqrt(2), length[1, 1], 12);
        double longest = Enumerable.Range(0, 36).Max(i => FlowLength.Downstream(Teaching)[i / 6, i % 6]);
        Assert.Equal(longest, length[5, 4], 12);
    }

    // Going down one step changes the way left by that step, and the way behind is at least as long as any donor's and the step.
    [Fact]
    public void Lengths_AnyGrid_DifferByTheStep()
    {
        ElevationGrid ground = FastAgainstPlainTests.Lakes(140, 90, 12);
        D8Directions directions = D8Directions.Route(DepressionFilling.Fill(ground));
        Grid<double> down = FlowLength.Downstream(directions);
        Grid<double> up = FlowLength.Upstream(directions);
        int steps = 0;
        for (int i = 0; i < ground.Heights.Length; i++)
        {
            Assert.Equal(float.IsNaN(ground.Heights[i]), double.IsNaN(down.Values[i]));
            Assert.Equal(float.IsNaN(ground.Heights[i]), double.IsNaN(up.Values[i]));
            int next = directions.Receiver(i);
            if (next >= 0)
            {
                double step = Neighbours.Length(directions.Codes[i]) * 2;
                Assert.Equal(down.Values[i], down.Values[next] + step, 9);
                Assert.True(up.Values[next] >= up.Values[i] + step);
                steps++;
            }
        }

        Assert.True(steps > 5000);
    }

    [Fact]
    public void Compute_Weights_EqualWalkingEveryShareDown()
    {
        ElevationGrid ground = FastAgainstPlainTests.Lakes(70, 60, 13);
        D8Directions directions = D8Directions.Route(DepressionFilling.Fill(ground));
        float[] rain = [.. Enumerable.Range(0, 70 * 60).Select(i => (i % 13) * 0.7f)];
        Grid<double> runoff = FlowAccumulation.Compute(directions, Grid.Copy<float>(ground.Frame, rain));
        double[] expected = new double[rain.Length];
        double[] cells = new double[rain.Length];
        for (int i = 0; i < rain.Length; i++)
        {
            for (int at = float.IsNaN(ground.Heights[i]) ? -1 : i; at >= 0; at = directions.Receiver(at))
            {
                expected[at] += rain[i] * 4.0;
                cells[at] += 4;
            }
        }

        for (int i = 0; i < rain.Length; i++)
        {
            Assert.Equal(float.IsNaN(ground.Heights[i]), double.IsNaN(runoff.Values[i]));
            Assert.True(double.IsNaN(runoff.Values[i]) || Math.Abs(runoff.Values[i] - expected[i]) <= 1e-10 * expected[i]);
        }

        // A weight of one everywhere is the area, to the bit.
        Array.Fill(rain, 1);
        Assert.Equal(FlowAccumulation.Compute(directions).Values.ToArray(), FlowAccumulation.Compute(directions, Grid.Copy<float>(ground.Frame, rain)).Values.ToArray());
    }

    [Fact]
    public void Compute_WrongWeights_AreRefused()
    {
        float[] rain = new float[36];
        rain[8] = -1;
        ArgumentException error = Assert.Throws<ArgumentException>(() => FlowAccumulation.Compute(Teaching, Grid.Copy<float>(Teaching.Frame, rain)));
        Assert.Contains("row 1, column 2", error.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => FlowAccumulation.Compute(Teaching, Grid.Copy<float>(new GridFrame(1, 1, 1, 0, 0), [1])));
        D8Directions loop = D8Directions.Copy(new GridFrame(1, 2, 1, 0, 1), [2, 6]);
        Assert.Throws<FlowLoopException>(() => FlowLength.Downstream(loop));
        Assert.Throws<FlowLoopException>(() => FlowLength.Upstream(loop));
    }
}
