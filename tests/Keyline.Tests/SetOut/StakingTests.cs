using Keyline.Field;
using Keyline.SetOut;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.SetOut;

/// <summary>Where stakes stand to the centimetre, and options that cannot be followed.</summary>
public sealed class StakingTests
{
    private static readonly LineString Broken = new([new CoordinateZ(0, 0, 50), new CoordinateZ(100, 0, 50), new CoordinateZ(200, 0, 48), new CoordinateZ(300, 0, 49)]);

    private static double[] Stations(LineString line, double interval) => [.. Staking.Along("G1", line, new SetOutOptions { Interval = interval, Calming = 0 }).Stakes.Select(s => s.Station)];

    private static LineString Level(double length) => new([new CoordinateZ(0, 0, 50), new CoordinateZ(length, 0, 50)]);

    // Between the metres of the profile heights run straight, up to the last station, which is not a whole metre.
    [Fact]
    public void HeightsBetweenMetres_AreThoseOfTheLine()
    {
        LineString line = new([new CoordinateZ(0, 0, 50), new CoordinateZ(100, 0, 50), new CoordinateZ(200.6, 0, 48)]);
        StakedLine staked = Staking.Along("G1", line, new SetOutOptions { Interval = 11.3, Calming = 0 });
        Assert.Equal(17 + 2, staked.Stakes.Count);
        Assert.All(staked.Stakes, s => Assert.Equal(50 - (2 * Math.Max(0, s.Station - 100) / 100.6), s.Place.Z, 1e-6));
        Assert.All(staked.Stakes, s => Assert.Equal(s.Station, s.Place.X, 1e-9));
        Assert.All(staked.Stakes, s => Assert.Equal(0, s.Place.Y));
        Assert.Equal([.. Enumerable.Range(0, 201).Select(i => (double)i), 200.6], staked.Stations);
        Assert.Equal(202, staked.Heights.Count);
        LineString shorter = new([new CoordinateZ(0, 0, 50), new CoordinateZ(0.6, 0, 47)]);
        Assert.Equal([(0.0, 50.0), (0.6, 47.0)], Staking.Along("G1", shorter, new SetOutOptions { Calming = 0 }).Stakes.Select(s => (s.Station, s.Place.Z)));
    }

    // The last one falls away within 2 m, and within half the distance, of the end.
    [Fact]
    public void NearTheEnd_NoStakeStandsForTheDistanceAlone()
    {
        Assert.Equal([0.0, 100, 200, 301.5], [.. Stations(Level(301.5), 100).Where(s => s < 290 || s > 301)]);
        Assert.DoesNotContain(300, Stations(Level(301.5), 30));
        Assert.DoesNotContain(300, Stations(Level(302), 30));
        Assert.Contains(300, Stations(Level(302.5), 30));
        Assert.Contains(300, Stations(Level(301.7), 3));
        Assert.DoesNotContain(300, Stations(Level(301.3), 3));
    }

    // The grade breaks at 100 m. A stake within 2 m of it, and within a quarter of the distance, stands for the break too; one farther off does not.
    [Theory]
    [InlineData(50.5, 101, true)]
    [InlineData(49, 98, true)]
    [InlineData(51.2, 102.4, false)]
    [InlineData(4.07, 101.75, false)]
    [InlineData(3.92, 98, false)]
    public void AStakeNearABreak_StandsForItToo(double interval, double near, bool both)
    {
        IReadOnlyList<Stake> stakes = Staking.Along("G1", Broken, new SetOutOptions { Interval = interval, Calming = 0 }).Stakes;
        Assert.Equal(!both, stakes.Any(s => s.Station == 100));
        Assert.Equal(both ? StakeReasons.Interval | StakeReasons.Grade : StakeReasons.Interval, stakes.Single(s => Math.Abs(s.Station - near) < 1e-9).Reasons);
    }

    // 30 m east, then north: the bend is cut by up to 21 m and has its stake.
    [Fact]
    public void ABend_HasAStake()
    {
        LineString bent = new([new CoordinateZ(0, 0, 50), new CoordinateZ(30, 0, 50), new CoordinateZ(30, 30, 50)]);
        Assert.Equal([(0.0, StakeReasons.Start), (30, StakeReasons.Bend), (60, StakeReasons.End)], Staking.Along("G1", bent, new SetOutOptions { Interval = 90 }).Stakes.Select(s => (s.Station, s.Reasons)));
    }

    // Calming by the bell curve twice over, on a break of 2 % amid: at the break the profile lies off by what the closed weights say. Computed here.
    [Fact]
    public void Calming_CountsMetres()
    {
        StakedLine calm = Staking.Along("G1", Broken, new SetOutOptions { Interval = 10, Calming = 4 });
        double[] raw = [.. Enumerable.Range(0, 301).Select(i => i <= 100 ? 50 : i <= 200 ? 50 - (0.02 * (i - 100)) : 48 + (0.01 * (i - 200)))];
        double Mean(double[] z, int at) => Enumerable.Range(-12, 25).Sum(k => z[at + k] * Math.Exp(-k * k / 32.0)) / Enumerable.Range(-12, 25).Sum(k => Math.Exp(-k * k / 32.0));
        double[] once = [.. Enumerable.Range(0, 301).Select(i => i is < 12 or > 288 ? raw[i] : Mean(raw, i))];
        double[] rest = [.. raw.Zip(once, (a, b) => a - b)];
        foreach (int at in new[] { 90, 100, 110, 150, 200 })
        {
            Assert.Equal(once[at] + Mean(rest, at), calm.Heights[at], 1e-9);
        }
    }

    [Fact]
    public void AnAvoidedAreaWithoutAName_IsToldAllTheSame()
    {
        FieldArea field = new(FieldGround.Box(-50, -50, 350, 50), [new AvoidedArea(FieldGround.Box(140, -10, 160, 10), 0)]);
        Assert.Equal([140.0, 150, 160], Staking.Along("G1", Broken, new SetOutOptions { Interval = 10 }, field: field).Stakes.Where(s => s.KeepClearOf == "an avoided area").Select(s => s.Station));
    }

    public static TheoryData<SetOutOptions, string> Impossible => new()
    {
        { new() { Interval = 0.99 }, "The distance between stakes must be a finite number of metres from 1 m on." },
        { new() { Interval = double.PositiveInfinity }, "The distance between stakes must be a finite number of metres from 1 m on." },
        { new() { HeightStep = 0 }, "The height at which a stake is added must be above 0 m." },
        { new() { BendStep = 0 }, "The bend at which a stake is added must be above 0 m." },
        { new() { Calming = -0.1 }, "Heights are calmed over 0 to 100 m." },
        { new() { Calming = 100.1 }, "Heights are calmed over 0 to 100 m." },
        { new() { Rod = 0.5 }, "The rod must be longer than 0.5 m." },
        { new() { Rod = double.PositiveInfinity }, "The rod must be longer than 0.5 m." },
        { new() { Sight = 0 }, "The farthest sight must be a finite number of metres above 0." },
        { new() { Sight = double.PositiveInfinity }, "The farthest sight must be a finite number of metres above 0." },
    };

    [Theory, MemberData(nameof(Impossible))]
    public void OptionsThatCannotBeFollowed_AreRefusedInWords(SetOutOptions options, string sentence)
    {
        Assert.Equal(sentence, Assert.Throws<ArgumentException>(options.Validate).Message);
        Assert.Throws<ArgumentException>(() => Staking.Along("G1", Broken, options));
    }

    [Fact]
    public void TheLeastAndTheMost_CanBeFollowed()
    {
        new SetOutOptions { Interval = 1, HeightStep = 1e-6, BendStep = 1e-6, Calming = 0, Rod = 0.501, Sight = 0.001 }.Validate();
        new SetOutOptions { Interval = 1e9, HeightStep = double.PositiveInfinity, BendStep = double.PositiveInfinity, Calming = 100, Rod = 99, Sight = 1e9 }.Validate();
    }

    [Fact]
    public void WrongCalls_AreRefused()
    {
        Assert.Throws<ArgumentNullException>(() => Staking.Along(null!, Broken, new SetOutOptions()));
        Assert.Throws<ArgumentNullException>(() => Staking.Along("G1", null!, new SetOutOptions()));
        Assert.Throws<ArgumentNullException>(() => Staking.Along("G1", Broken, null!));
        Assert.StartsWith("Line G1 has no length", Assert.Throws<GroundDataException>(() => Staking.Along("G1", Level(0), new SetOutOptions())).Message, StringComparison.Ordinal);
        StakedLine staked = Staking.Along("G1", Broken, new SetOutOptions());
        Assert.Throws<ArgumentNullException>(() => staked.SetUpOf(null!));
        Assert.Throws<ArgumentNullException>(() => staked.SetUps[0].ReadingOn(null!));
        Assert.Throws<ArgumentNullException>(() => staked.SetUps[0].MoreThanOnMark(null!));
    }
}
