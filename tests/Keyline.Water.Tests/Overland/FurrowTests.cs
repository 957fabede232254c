using Keyline.Elevation;
using static Keyline.Water.Tests.Overland.Grounds;

namespace Keyline.Water.Tests.Overland;

/// <summary>Flow along a line, alone: waves, what long steps do to them, and steady flow.</summary>
public sealed class FurrowTests
{
    // 0.8 of a piece a step is the way over which a wave is stable here.
    private const double Stable = 0.8;

    /// <summary>A step of 4 mm on water 0.3 m deep in a V parts into two waves that run sqrt(g A / T) = sqrt(g 0.15) = 1.2129 m/s: Chow, Open-Channel Hydraulics, 1959, 18-1.
    /// In steps in which they would run farther than is stable they run just the stable way, 0.8 of a piece a step, and no piece swings beyond what it held.</summary>
    [Theory]
    [InlineData(0.2, 110)]
    [InlineData(0.5, 40)]
    [InlineData(2, 30)]
    [InlineData(5, 30)]
    public void AWaveInAFurrow_RunsItsCelerity_OrTheStableWay(double step, int steps)
    {
        const double deep = 0.3, high = 0.002;
        (RipNodes nodes, RipWater rips) = Line(120, 0);
        for (int i = 0; i < nodes.Count; i++)
        {
            nodes.Furrow[i] = nodes.Shape[i].Area(i < 60 ? deep + high : deep - high);
        }

        double before = nodes.Furrow.Sum();
        for (int k = 0; k < steps; k++)
        {
            rips.Lead(0, 1, step);
        }

        double[] level = [.. nodes.Furrow.Select((a, i) => nodes.Shape[i].Level(a))];
        double celerity = Math.Min(Math.Sqrt(9.80665 * deep / 2), Stable / step);
        double way = celerity * step * steps;
        Assert.InRange(way, 20, 28);
        int front = Enumerable.Range(60, 60).First(i => level[i] < deep - (high / 2));
        int back = Enumerable.Range(0, 60).First(i => level[i] < deep + (high / 2));
        Assert.InRange(front - 60, way - 2, way + 2);
        Assert.InRange(60 - back, way - 2, way + 2);
        Assert.All(Enumerable.Range(52, 16), i => Assert.Equal(deep, level[i], high / 4));
        Assert.All(level, l => Assert.InRange(l, deep - (1.5 * high), deep + (1.5 * high)));
        Assert.Equal(before, nodes.Furrow.Sum(), 1e-12 * before);
    }

    /// <summary>Uniform flow down 0.05 % is Manning's, R = z h / (2 sqrt(1 + z²)), in steps in which waves are slowed as in short ones: Chow 1959, 5-6.</summary>
    [Theory]
    [InlineData(0.2, 250)]
    [InlineData(2, 700)]
    public void UniformFlowInAFurrow_IsMannings_WhateverTheStep(double step, double seconds)
    {
        const double deep = 0.2, fall = 0.0005;
        (RipNodes nodes, RipWater rips) = Line(600, fall);
        for (int i = 0; i < nodes.Count; i++)
        {
            nodes.Furrow[i] = nodes.Shape[i].Area(deep);
        }

        for (double t = 0; t < seconds; t += step)
        {
            rips.Lead(0, 1, step);
        }

        double area = 2 * deep * deep, radius = 2 * deep / (2 * Math.Sqrt(5));
        double flow = area * Math.Pow(radius, 2.0 / 3) * Math.Sqrt(fall) / 0.03;
        Assert.Equal(flow, Math.Abs(nodes.Flow[300]), 0.01 * flow);
        Assert.Equal(deep, nodes.Shape[300].Level(nodes.Furrow[300]), 1e-3);
    }

    // A furrow half a metre deep along x, in pieces of a metre, without a ridge; the wave's is as smooth as is allowed.
    private static (RipNodes Nodes, RipWater Rips) Line(int metres, double fall)
    {
        Rip rip = new() { FurrowDepth = 0.5, RidgeHeight = 0, Roughness = fall == 0 ? 0.005 : 0.03 };
        ElevationGrid ground = Of(3, metres + 4, 1, (x, _) => -fall * x);
        FlowField field = FlowField.Of(ground);
        RipNodes nodes = RipNodes.Of([Grounds.Line("L", 2, 1.5, metres + 2, 1.5)], ground, Sealed, new StormOptions { Rip = rip }, field);
        return (nodes, new RipWater(nodes, field, rip, new StormOptions { Rip = rip }));
    }
}
