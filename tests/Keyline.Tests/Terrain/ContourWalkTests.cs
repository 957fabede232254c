using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Terrain;

/// <summary>A contour followed from a place is the very line that tracing the whole level draws there.</summary>
public sealed class ContourWalkTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Through_IsTheTracedLineOfThatLevel(int seed)
    {
        ElevationGrid rough = Surfaces.Changed(
            Surfaces.Make(40, 50, 2, Surfaces.Saddle(0.01)), (r, c, z) => (r * c) % 97 == seed ? float.NaN : z + (3 * (float)Noise.At(r / 3, c / 3, (ulong)seed)));
        int closed = 0, open = 0;
        for (int k = 0; k < 300; k++)
        {
            double x = 48 * Noise.At(k, 1, (ulong)seed), y = 38 * Noise.At(k, 2, (ulong)seed), level = rough.HeightAt(x, y);
            if (double.IsNaN(level) || ContourWalk.Through(rough, new Coordinate(x, y), level, double.PositiveInfinity) is not { } walk)
            {
                continue;
            }

            double[] heights = Array.ConvertAll(rough.Heights.ToArray(), z => (double)z);
            ContourPath path = ContourTracer.Trace(heights, rough.Frame, level).Single(p => p.Points.Any(q => q.Equals2D(walk.Points[walk.Start])));
            Assert.Equal(path.Closed, walk.Closed);
            Coordinate[] traced = path.Closed ? path.Points[..^1] : path.Points;
            int first = Array.FindIndex(traced, q => q.Equals2D(walk.Points[0]));
            Assert.Equal([.. traced[first..], .. traced[..first]], walk.Points);
            _ = path.Closed ? closed++ : open++;
        }

        Assert.True(closed > 20 && open > 20, $"{closed} closed and {open} open contours.");
    }

    [Fact]
    public void Through_StopsAtTheDistanceAsked()
    {
        ElevationGrid plane = Surfaces.Make(40, 200, 1, Surfaces.Plane(0, 0, 0.1));
        ContourWalk walk = ContourWalk.Through(plane, new Coordinate(0, 0.25), 0.025, 30)!;
        Assert.False(walk.Closed);
        Assert.InRange(walk.Points[0].Distance(walk.Points[walk.Start]), 30, 31);
        Assert.InRange(walk.Points[^1].Distance(walk.Points[walk.Start]), 30, 31);
        Assert.Null(ContourWalk.Through(plane, new Coordinate(0, 0.25), 9, 30));
    }
}
