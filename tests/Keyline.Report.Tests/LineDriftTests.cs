using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Report.Tests;

/// <summary>Drift on ground that can be solved on paper.</summary>
public sealed class LineDriftTests
{
    private static readonly GridFrame Frame = new(40, 120, 1, 0, 40);

    [Theory]
    [InlineData(-0.01, nameof(Drift.ToRidge), true)]
    [InlineData(0.01, nameof(Drift.ToValley), false)]
    [InlineData(0.002, nameof(Drift.Level), false)]
    public void Cut_PlaneWithTheRidgeInTheEast_HasOneDrift(double gradeEast, string expected, bool forward)
    {
        // The ridge is in the east, the line runs east: falling with it is falling toward the ridge. The threshold is 0.25 %.
        IReadOnlyList<DriftStretch> stretches = LineDrift.Cut(East(), Ground(x => 50 + (gradeEast * x)), Position());
        DriftStretch only = Assert.Single(stretches);
        Assert.Equal(expected, only.Drift.ToString());
        Assert.Equal(forward, only.FallsForward);
    }

    [Fact]
    public void Cut_Crest_TurnsAtTheCrest()
    {
        // A roof with its crest at x = 60: up to it the line climbs toward the ridge position, beyond it falls along it.
        IReadOnlyList<DriftStretch> stretches = LineDrift.Cut(East(), Ground(x => 50 - (0.02 * Math.Abs(x - 60))), Position());
        Assert.Equal(Drift.ToValley, stretches[0].Drift);
        Assert.Equal(Drift.ToRidge, stretches[^1].Drift);
        // Within half the 10 m base over which grades are measured.
        Assert.InRange(stretches[0].Points[^1].X, 55, 65);
        Assert.InRange(stretches[^1].Points[0].X, 55, 65);
    }

    [Fact]
    public void Cut_StretchesJoinIntoTheWholeLine()
    {
        IReadOnlyList<DriftStretch> stretches = LineDrift.Cut(East(), Ground(x => 50 + Math.Sin(x / 9)), Position());
        Assert.True(stretches.Count > 3);
        for (int i = 1; i < stretches.Count; i++)
        {
            Assert.Equal(stretches[i - 1].Points[^1], stretches[i].Points[0]);
        }

        Assert.Equal(100, stretches.Sum(s => s.Points.Zip(s.Points.Skip(1), (a, b) => a.Distance(b)).Sum()), 6);
    }

    private static LineString East() => new([new Coordinate(10, 20), new Coordinate(47, 20), new Coordinate(110, 20)]);

    private static ElevationGrid Ground(Func<double, double> height) =>
        ElevationGrid.Copy(Frame, [.. Enumerable.Range(0, 40 * 120).Select(i => (float)height(Frame.CentreX(i % 120)))]);

    private static Grid<float> Position() =>
        Grid.Copy<float>(Frame, Enumerable.Range(0, 40 * 120).Select(i => (i % 120) / 120f).ToArray());
}
