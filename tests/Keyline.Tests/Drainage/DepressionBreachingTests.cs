using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

public sealed class DepressionBreachingTests
{
    private static readonly BreachOptions Far = new() { MaximumDepth = 100, MaximumLength = 1000 };

    private static bool HasPit(ElevationGrid ground)
    {
        D8Directions directions = D8Directions.Route(ground);
        return Enumerable.Range(0, ground.Heights.Length).Any(i => !float.IsNaN(ground.Heights[i]) && directions.Codes[i] == D8Directions.NoFlow);
    }

    // D-10: a plateau of 8 with a pit of 1 and one row of 7s to the edge, computed here: the row is cut
    // down to 1 and nothing else changes.
    [Fact]
    public void Breach_Plateau_CutsTheLowRow()
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(15, 11, 1, (_, _) => 8), (r, c, z) => (r, c) == (7, 5) ? 1 : r == 7 && c > 5 ? 7 : z);
        BreachedGround breached = DepressionBreaching.Breach(ground, Far);
        for (int r = 0; r < 15; r++)
        {
            for (int c = 0; c < 11; c++)
            {
                Assert.Equal(r == 7 && c >= 5 ? 1 : ground[r, c], breached.Ground[r, c]);
            }
        }

        Breach cut = Assert.Single(breached.Breaches);
        Assert.Equal((7, 5, 7, 10), (cut.PitRow, cut.PitColumn, cut.EndRow, cut.EndColumn));
        Assert.Equal((5, 6), (cut.Length, cut.Depth));
        Assert.Equal(0, breached.Left);
    }

    // A valley dammed by a track 2 m wide and, farther down, by an embankment 60 m wide: the one is cut, the other filled up to.
    [Fact]
    public void Breach_TrackAndEmbankment_CutsTheOneAndFillsBehindTheOther()
    {
        ElevationGrid ground = Surfaces.Make(41, 200, 1, (x, y) => 50 - (0.05 * x) + (0.2 * Math.Abs(y)));
        ElevationGrid dammed = Surfaces.Changed(ground, (_, c, z) => c is 40 or 41 ? Math.Max(z, 54.5f) : c is >= 100 and < 160 ? Math.Max(z, 53) : z);
        BreachedGround breached = DepressionBreaching.Breach(dammed);
        Assert.Equal(1, breached.Left);
        Assert.False(HasPit(breached.Ground));
        Assert.True(breached.Ground[20, 40] < 54 && breached.Ground[20, 39] <= dammed[20, 39]);
        Assert.Equal(53, breached.Ground[20, 98]);
        Assert.Equal(53, breached.Ground[20, 130]);
        BreachedGround open = DepressionBreaching.Breach(dammed, new BreachOptions { FillRest = false });
        Assert.True(HasPit(open.Ground));
        Assert.Equal(dammed[20, 98], open.Ground[20, 98]);
    }

    [Theory]
    [InlineData(0.5, 10)]
    [InlineData(2, 6)]
    [InlineData(100, 1000)]
    public void Breach_AnyGround_KeepsItsLimits(double depth, double length)
    {
        for (ulong seed = 50; seed < 56; seed++)
        {
            ElevationGrid ground = FastAgainstPlainTests.Lakes(60, 70, seed);
            ElevationGrid filled = DepressionFilling.Fill(ground);
            BreachOptions options = new() { MaximumDepth = depth, MaximumLength = length };
            BreachedGround breached = DepressionBreaching.Breach(ground, options);
            Assert.False(HasPit(breached.Ground));
            Assert.All(breached.Breaches, b => Assert.True(b.Length <= length && b.Depth <= depth));
            for (int i = 0; i < ground.Heights.Length; i++)
            {
                Assert.Equal(float.IsNaN(ground.Heights[i]), float.IsNaN(breached.Ground.Heights[i]));
                Assert.False(ground.Heights[i] - breached.Ground.Heights[i] > depth);
                Assert.False(breached.Ground.Heights[i] > filled.Heights[i]);
            }

            BreachedGround open = DepressionBreaching.Breach(ground, options with { FillRest = false });
            Assert.Equal(open.Left > 0, HasPit(open.Ground));
            for (int i = 0; i < ground.Heights.Length; i++)
            {
                Assert.False(open.Ground.Heights[i] > ground.Heights[i]);
            }
        }
    }

    [Fact]
    public void Breach_NoLimits_NeedsNoFilling() =>
        Assert.Equal(0, DepressionBreaching.Breach(FastAgainstPlainTests.Lakes(90, 80, 61), Far).Left);

    [Fact]
    public void Breach_NoPits_ChangesNothing()
    {
        ElevationGrid cone = Surfaces.Make(20, 20, 1, Surfaces.Cone(9, 0.1));
        BreachedGround breached = DepressionBreaching.Breach(cone);
        Assert.Equal(cone.Heights.ToArray(), breached.Ground.Heights.ToArray());
        Assert.Empty(breached.Breaches);
        ElevationGrid level = Surfaces.Make(5, 7, 1, (_, _) => 3);
        Assert.Equal(level.Heights.ToArray(), DepressionBreaching.Breach(level).Ground.Heights.ToArray());
        Assert.Empty(DepressionBreaching.Breach(Surfaces.Make(1, 1, 1, (_, _) => double.NaN)).Breaches);
    }

    [Fact]
    public void Breach_WrongCalls_AreRefused()
    {
        ElevationGrid ground = Surfaces.Make(3, 3, 1, (_, _) => 1);
        Assert.Throws<ArgumentOutOfRangeException>(() => DepressionBreaching.Breach(ground, new BreachOptions { MaximumDepth = -1 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => DepressionBreaching.Breach(ground, new BreachOptions { MaximumLength = double.NaN }));
    }
}
