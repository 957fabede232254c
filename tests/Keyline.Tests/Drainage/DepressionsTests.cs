using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

public sealed class DepressionsTests
{
    // A bowl of a paraboloid z = z0 + h (r / R)^2 up to its rim holds pi R^2 h / 2 (solid of revolution); cells of 0.5 m.
    [Fact]
    public void Find_Bowl_HoldsWhatTheSolidDoes()
    {
        const double Radius = 20;
        const double Deep = 1.5;
        ElevationGrid ground = Surfaces.Make(120, 120, 0.5, (x, y) =>
        {
            double r = Math.Sqrt((x * x) + (y * y));
            return r < Radius ? 100 - Deep + (Deep * r * r / (Radius * Radius)) : 100 - (0.01 * (r - Radius));
        });
        Depression bowl = Assert.Single(Depressions.Find(ground, DepressionFilling.Fill(ground), 0.1));
        double volume = Math.PI * Radius * Radius * Deep / 2;
        Assert.InRange(bowl.Volume, 0.98 * volume, 1.001 * volume);
        Assert.InRange(bowl.Depth, Deep - 0.03, Deep + 1e-4);
        Assert.InRange(bowl.Area, 0.97 * Math.PI * Radius * Radius, Math.PI * Radius * Radius);
        Assert.InRange(bowl.SpillHeight, 99.97, 100);
        Assert.InRange(bowl.DeepestRow, 59, 60);
        Assert.Equal(ground[bowl.SpillRow, bowl.SpillColumn], bowl.SpillHeight, 4);
    }

    // D-9: a 10 by 10 zero floor with a ring of height 2; computed here by the definition of filling: 16 cells stand 2 deep.
    [Fact]
    public void Find_Ring_IsOneHollow()
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(10, 10, 1, (_, _) => 0),
            (r, c, _) => r is >= 2 and <= 7 && c is >= 2 and <= 7 && (r is 2 or 7 || c is 2 or 7) ? 2 : 0);
        Depression hollow = Assert.Single(Depressions.Find(ground, DepressionFilling.Fill(ground)));
        Assert.Equal((16, 2, 32, 2), (hollow.Area, hollow.Depth, hollow.Volume, hollow.SpillHeight));
        Assert.Equal((3, 3), (hollow.DeepestRow, hollow.DeepestColumn));
        Assert.Equal(2, ground[hollow.SpillRow, hollow.SpillColumn]);
    }

    [Fact]
    public void Find_PitsWithinAHollow_CountOnce()
    {
        ElevationGrid ground = Surfaces.Listed(5, 7, 1,
            9, 9, 9, 9, 9, 9, 9,
            9, 4, 6, 2, 9, 5, 9,
            9, 4, 6, 2, 9, 5, 9,
            9, 4, 6, 3, 8, 5, 7,
            9, 9, 9, 9, 9, 9, 9);
        IReadOnlyList<Depression> found = Depressions.Find(ground, DepressionFilling.Fill(ground));
        Assert.Equal(2, found.Count);
        Assert.Equal((8, 2), (found[0].SpillHeight, found[1].Depth));
        Assert.Equal(6, found[0].Depth);
        Assert.Single(Depressions.Find(ground, DepressionFilling.Fill(ground), leastDepth: 3));
        Assert.Single(Depressions.Find(ground, DepressionFilling.Fill(ground), leastArea: 4));
    }

    [Fact]
    public void Find_AnyGround_AddsUpToWhatFillingAdded()
    {
        ElevationGrid ground = FastAgainstPlainTests.Lakes(150, 160, 31);
        ElevationGrid filled = DepressionFilling.Fill(ground);
        IReadOnlyList<Depression> found = Depressions.Find(ground, filled);
        double added = 0;
        for (int i = 0; i < ground.Heights.Length; i++)
        {
            added += filled.Heights[i] > ground.Heights[i] ? 4 * ((double)filled.Heights[i] - ground.Heights[i]) : 0;
        }

        Assert.True(found.Count > 50);
        Assert.Equal(added, found.Sum(d => d.Volume), 6);
        Assert.Equal(found.Select(d => d.Volume).OrderDescending(), found.Select(d => d.Volume));
        Assert.All(found, d => Assert.Equal(d.Depth, d.SpillHeight - ground[d.DeepestRow, d.DeepestColumn], 6));
        Assert.All(found, d => Assert.True(filled[d.SpillRow, d.SpillColumn] <= d.SpillHeight));
    }

    [Fact]
    public void Find_WrongCalls_AreRefused()
    {
        ElevationGrid ground = Surfaces.Make(4, 4, 1, (_, _) => 1);
        Assert.Empty(Depressions.Find(ground, ground));
        Assert.Empty(Depressions.Find(Surfaces.Make(4, 4, 1, (_, _) => double.NaN), Surfaces.Make(4, 4, 1, (_, _) => double.NaN)));
        Assert.Throws<ArgumentException>(() => Depressions.Find(ground, Surfaces.Make(4, 5, 1, (_, _) => 1)));
        Assert.Throws<ArgumentException>(() => Depressions.Find(ground, Surfaces.Make(4, 4, 1, (_, _) => 0)));
        Assert.Throws<ArgumentOutOfRangeException>(() => Depressions.Find(ground, ground, -1));
    }
}
