using CsCheck;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.SetOut;
using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Tests.SetOut;

public sealed class SetOutTests
{
    // 100 m level, 100 m falling 2 %, 100 m rising 1 %, straight east.
    private static readonly LineString Broken = new([new CoordinateZ(0, 0, 50), new CoordinateZ(100, 0, 50), new CoordinateZ(200, 0, 48), new CoordinateZ(300, 0, 49)]);

    [Fact]
    public void Along_AStraightLineWithBrokenGrade_HasStakesAtIntervalsAndBreaks()
    {
        StakedLine staked = Staking.Along("G1", Broken, new SetOutOptions { Interval = 30, Calming = 0 });
        Assert.Equal([0.0, 30, 60, 90, 100, 120, 150, 180, 200, 210, 240, 270, 300], staked.Stakes.Select(s => s.Station));
        Assert.Equal([100.0, 200], staked.Stakes.Where(s => s.Reasons.HasFlag(StakeReasons.Grade)).Select(s => s.Station));
        Assert.Equal((StakeReasons.Start, StakeReasons.End), (staked.Stakes[0].Reasons, staked.Stakes[^1].Reasons));
        Assert.Equal(2, staked.Stakes[4].GradeToNext, 1e-9);
        Assert.Equal(-1, staked.Stakes[^2].GradeToNext, 1e-9);
        Assert.True(double.IsNaN(staked.Stakes[^1].GradeToNext));
        Assert.Equal("G1-05", staked.Stakes[4].Name);
    }

    // Straight falls and straight ways between stakes never miss profile or line by more than asked, save for what a stake
    // standing within 2 m takes over.
    [Fact]
    public void Along_AnyLine_MissesNeitherProfileNorBends() =>
        Gen.Select(Gen.Double[30, 120], Gen.Double[1, 15], Gen.Double[0.1, 2], Gen.Double[10, 60], Gen.Double[0.02, 0.2], Gen.Double[0.1, 1]).Sample(
            (period, swing, relief, interval, step, bend) =>
            {
                LineString line = new([.. Enumerable.Range(0, 200).Select(i => new CoordinateZ(i * 1.5, swing * Math.Sin(i * 1.5 / period), 100 + (relief * Math.Sin(i / 17.0))))]);
                StakedLine staked = Staking.Along("G1", line, new SetOutOptions { Interval = interval, HeightStep = step, BendStep = bend, Calming = 0 });
                LineString through = new([.. staked.Stakes.Select(s => s.Place)]);
                LineString profile = new([.. staked.Stakes.Select(s => new Coordinate(s.Station, s.Place.Z))]);
                double steepest = relief / 17 / 1.5, curve = swing / period / period;
                for (int i = 0; i < staked.Stations.Count; i++)
                {
                    Coordinate at = new LengthIndexedLine(line).ExtractPoint(staked.Stations[i]);
                    Assert.True(through.Distance(new Point(at)) <= bend + (2 * 2 * Math.Max(curve * 30, 0.05)), "bend");
                    Assert.True(profile.Distance(new Point(staked.Stations[i], staked.Heights[i])) <= step + (2 * steepest) + 0.01, "profile");
                }

                Assert.All(staked.Stakes.Zip(staked.Stakes.Skip(1)), p => Assert.InRange(p.Second.Station - p.First.Station, 1e-9, interval + 2.01));
            },
            iter: 300);

    // Readings by hand: the rod reads 1.20 m on a mark of height 51.50 m, so the plane is at 52.70 m.
    [Fact]
    public void Reading_FromABenchmark_IsPlaneLessGround()
    {
        StakedLine staked = Staking.Along("G1", Broken, new SetOutOptions { Interval = 100, Rod = 5, Sight = 200, Calming = 0 }, new LevelMark("post", 51.5, 1.2));
        LevelSetUp setUp = Assert.Single(staked.SetUps);
        Assert.Equal(("post", 52.7), (setUp.Mark, setUp.Plane));
        Assert.Equal([2.7, 2.7, 4.7, 3.7], staked.Stakes.Select(s => Math.Round(staked.SetUpOf(s).ReadingOn(s), 9)));
        Assert.Equal(3.5, staked.SetUps[0].MoreThanOnMark(staked.Stakes[2]), 1e-9);
    }

    // An even fall of 0.8 % with 3 cm of noise: readings fall evenly again, and few stakes are added.
    [Fact]
    public void Along_NoisyHeights_AreCalmed()
    {
        Random chance = new(5);
        LineString noisy = new([.. Enumerable.Range(0, 401).Select(i => new CoordinateZ(i, 0, 50 - (0.008 * i) + (0.06 * (chance.NextDouble() - 0.5))))]);
        StakedLine calm = Staking.Along("G1", noisy, new SetOutOptions()), raw = Staking.Along("G1", noisy, new SetOutOptions { Calming = 0, HeightStep = 0.02 });
        Assert.All(calm.Stakes.SkipLast(1), s => Assert.Equal(0.8, s.GradeToNext, 0.15));
        Assert.True(raw.Stakes.Max(s => double.IsNaN(s.GradeToNext) ? 0 : Math.Abs(s.GradeToNext - 0.8)) > 0.3);
        Assert.Equal(21, calm.Stakes.Count);
    }

    [Fact]
    public void SetUps_ALongFallingLine_FitsRodAndSight()
    {
        // 1 km falling 1 %: 10 m of fall, 3.6 m of usable rod, stakes of one set-up within 260 m.
        LineString line = new([new CoordinateZ(0, 0, 60), new CoordinateZ(1000, 0, 50)]);
        StakedLine staked = Staking.Along("G1", line, new SetOutOptions());
        Assert.Equal(5, staked.SetUps.Count);
        foreach (LevelSetUp setUp in staked.SetUps)
        {
            Stake[] read = [.. staked.Stakes.Where(s => s.SetUp == setUp.Number || s.Name == setUp.Mark)];
            Assert.InRange(read.Max(s => s.Place.Z) - read.Min(s => s.Place.Z), 0, 3.6 + 1e-9);
            Assert.InRange(read.Max(s => s.Station) - read.Min(s => s.Station), 0, 150 * Math.Sqrt(3));
            Assert.True(setUp.Number == 1 || staked.Stakes.Single(s => s.Name == setUp.Mark).SetUp == setUp.Number - 1);
            Assert.True(double.IsNaN(setUp.Plane));
        }

        // A benchmark too high for the rod on every stake is of no use on this line, which then starts from its own first stake.
        Assert.Equal("G1-01", Staking.Along("G1", line, new SetOutOptions(), new LevelMark("hill", 90, 1)).SetUps[0].Mark);
    }

    // A pipe crosses at 150 m with 12 m to keep clear of on either side.
    [Fact]
    public void Along_OverAPipe_StakesAreToBeFlaggedOnly()
    {
        FieldArea field = new(
            new Polygon(new LinearRing([new(-50, -50), new(350, -50), new(350, 50), new(-50, 50), new(-50, -50)])), [new AvoidedArea(new LineString([new(150, -40), new(150, 40)]), 12, "gas pipe")]);
        StakedLine staked = Staking.Along("G1", Broken, new SetOutOptions { Interval = 10 }, field: field);
        Assert.Equal([140.0, 150, 160], staked.Stakes.Where(s => s.KeepClearOf == "gas pipe").Select(s => s.Station));
        Assert.All(staked.Stakes.Where(s => s.Station is < 138 or > 162), s => Assert.Equal("", s.KeepClearOf));
    }

    [Fact]
    public void Along_MissingGround_IsStakedWithoutHeights()
    {
        float[] heights = [.. Enumerable.Range(0, 20 * 60).Select(i => i % 60 is > 20 and < 30 ? float.NaN : 40f - (0.01f * (i % 60) * 5))];
        ElevationGrid ground = ElevationGrid.TakeOver(new GridFrame(20, 60, 5, 0, 50), heights);
        StakedLine staked = Staking.Along("G1", new LineString([new CoordinateZ(5, 0, 1), new CoordinateZ(290, 0, 1)]), new SetOutOptions(), null, ground);
        Assert.Contains(staked.Stakes, s => double.IsNaN(s.Place.Z) && double.IsNaN(staked.SetUpOf(s).ReadingOn(s)));
        Assert.Equal(1, staked.Stakes[0].GradeToNext, 0.01);
    }

    [Fact]
    public void Check_ADifferenceAllHaveInCommon_IsTakenOffAndTold()
    {
        LevelledStake[] stakes = [.. Enumerable.Range(0, 9).Select(i => new LevelledStake($"G1-0{i + 1}", "G1", i * 20, 50 - (0.16 * i), 50 - (0.16 * i) + 3.217 + (i == 4 ? 0.25 : 0)))];
        LevelCheckResult found = LevelCheck.Run(stakes, 0.1);
        Assert.Equal(3.217, Assert.Single(found.Lines).Common, 1e-9);
        Assert.False(found.Holds);
        CheckedStake bad = Assert.Single(found.Stakes, s => !s.IsWithin);
        Assert.Equal(("G1-05", 0.25), (bad.Stake.Name, Math.Round(bad.Difference, 9)));

        // 0.8 % planned; the stake before the high one now rises by (0.25 - 0.16) m in 20 m.
        Assert.Equal((-0.45, 0.8), (Math.Round(found.Stakes[3].GradeToNext, 6), Math.Round(found.Stakes[3].PlannedGradeToNext, 6)));
        Assert.True(found.Stakes[3].IsReversed);
        Assert.Single(found.Stakes, s => s.IsReversed);
        Assert.Throws<GroundDataException>(() => LevelCheck.Run([]));
    }

    // The data is a plane of 5 % falling south with a guide along a contour; the true ground is higher by an error that grows
    // eastward, so the true contour lies downslope by error over slope.
    [Fact]
    public void Refit_AnErrorThatGrows_MovesTheGuideToTheTrueContour()
    {
        const double slope = 0.05;
        double Data(double y) => 100 + (slope * y);
        double Wrong(double x) => 0.002 * x;
        float[] heights = [.. Enumerable.Range(0, 100 * 150).Select(i => (float)Data(100 - (((i / 150) + 0.5) * 2)))];
        ElevationGrid ground = ElevationGrid.TakeOver(new GridFrame(100, 150, 2, 0, 100), heights);
        LineString guide = new([.. Enumerable.Range(0, 141).Select(i => new CoordinateZ(10 + (2 * i), 0, Data(0)))]);
        StakedLine staked = Staking.Along("G1", guide, new SetOutOptions(), null, ground);
        LevelledStake[] levelled = [.. staked.Stakes.Select(s => new LevelledStake(s.Name, "G1", s.Station, s.Place.Z, Data(s.Place.Y) + Wrong(s.Place.X)))];
        RefittedGuide refit = GuideRefit.Fit(guide, levelled, 0, ground);
        Assert.All(refit.Line.Coordinates.Where(c => c.X is > 20 and < 280), c => Assert.Equal(Data(0), Data(c.Y) + Wrong(c.X), 0.01));
        Assert.Equal(Wrong(290) / slope, refit.GreatestMove, 0.6);
        Assert.InRange(refit.Remaining, 0, 0.01);
        Assert.Equal(0, refit.Held);

        // Stakes moved to where the level found the planned height say the same, and no difference moves nothing.
        LevelledStake[] moved = [.. levelled.Select(s => s with { Measured = s.Planned, MovedLeft = -Wrong(10 + s.Station) / slope })];
        Assert.InRange(refit.Line.Distance(GuideRefit.Fit(guide, moved, 0, ground).Line), 0, 0.01);
        Assert.InRange(GuideRefit.Fit(guide, moved, 0, ground).Line.HausdorffTo(refit.Line), 0, 0.1);
        LevelledStake[] same = [.. levelled.Select(s => s with { Measured = s.Planned })];
        Assert.InRange(GuideRefit.Fit(guide, same, 0, ground).GreatestMove, 0, 0.01);
    }

    // A rod of 4 m is read between its ends less 0.2 m each: 3.6 m of fall to a set-up, no more.
    [Theory]
    [InlineData(3.5, 1)]
    [InlineData(3.7, 2)]
    [InlineData(3.95, 2)]
    public void ASetUp_UsesTheRodLessItsEnds(double fall, int setUps)
    {
        LineString line = new([new CoordinateZ(0, 0, 20), new CoordinateZ(50, 0, 20 - fall)]);
        Assert.Equal(setUps, Staking.Along("G1", line, new SetOutOptions { Interval = 10, Rod = 4, Sight = 200, Calming = 0 }).SetUps.Count);
    }

    [Theory]
    [InlineData(100.1, false)]
    [InlineData(100.3, true)]
    [InlineData(103.7, true)]
    [InlineData(103.9, false)]
    public void AMarkedSetUp_ReadsStakesWithinTheRodLessItsEnds(double height, bool read)
    {
        // The plane lies at 104 m: mark at 102 m read at 2 m; a rod of 4 m shows 100.2 to 103.8 m.
        LineString line = new([new CoordinateZ(0, 0, height), new CoordinateZ(20, 0, height)]);
        StakedLine staked = Staking.Along("G1", line, new SetOutOptions { Interval = 50, Rod = 4, Sight = 200, Calming = 0 }, new LevelMark("post", 102, 2));
        Assert.Equal(read, staked.SetUps[0].Mark == "post");
    }
}

file static class Distances
{
    public static double HausdorffTo(this LineString a, LineString b) => NetTopologySuite.Algorithm.Distance.DiscreteHausdorffDistance.Distance(a, b);
}
