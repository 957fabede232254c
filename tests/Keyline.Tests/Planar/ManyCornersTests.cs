using System.Collections;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Planar;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Planar;

/// <summary>Outlines and surveys of very many corners: the work, counted in bytes taken from memory or in items asked for, grows no faster than they do.</summary>
public sealed class ManyCornersTests
{
    // Twice what four times as many corners would take if the work were linear; a quadratic way takes four times that.
    private const double FourTimesAsMany = 8;

    private static long Bytes(Action work)
    {
        long before = GC.GetAllocatedBytesForCurrentThread();
        work();
        return GC.GetAllocatedBytesForCurrentThread() - before;
    }

    private static void IsLinear(Func<int, Action> make, int corners)
    {
        // What is made once, as types and tables are, is made before.
        make(500)();
        (Action few, Action many) = (make(corners), make(4 * corners));
        (long one, long four) = (Bytes(few), Bytes(many));
        Assert.InRange((double)four / one, 0, FourTimesAsMany);
    }

    [Theory]
    [InlineData(-5, 0.05, 6000)]
    [InlineData(-4.95, 0.05, 6000)]
    [InlineData(5, 0.05, 2000)]
    [InlineData(-5, 0, 6000)]
    [InlineData(-0.5, 0.02, 9000)]
    public void Inset(double distance, double teeth, int most) => IsLinear(
        corners =>
        {
            Polygon field = Star(corners, teeth);
            return () => AreaInset.Of(field, distance);
        },
        most);

    [Fact]
    public void Teeth_AreClosedOverToTheMillimetre()
    {
        // Between the tips of teeth at every centimetre a circle of 5 m reaches no deeper than it does on a plain circle through their feet.
        Geometry jagged = AreaInset.Of(Star(20_000, 0.05), -5), plain = Star(20_000, 0).Buffer(-5, 256);
        Assert.InRange(jagged.SymmetricDifference(plain).Area / plain.Length, 0, 0.01);
        Assert.InRange(jagged.NumPoints, 50, 2000);
    }

    [Fact]
    public void LinesInAJaggedField_AreMeasuredWithoutItsWidenedOutline()
    {
        const int Lines = 20;
        IsLinear(
            corners =>
            {
                FieldArea field = new(Star(corners, 0.05));
                return () =>
                {
                    FieldFindings findings = new(field, new LineLimits { Spacing = 2, Headland = 5 });
                    for (int i = 0; i < Lines; i++)
                    {
                        LineString line = FieldGround.Line((500_000 - 15, 4_000_000 - 10 + i), (500_000 + 15, 4_000_000 - 10 + i));
                        FieldFindings.Result result = findings.Measure(new CheckedLine("R", "", line));
                        Assert.Empty(result.Findings);
                        Assert.InRange(result.Clearance, 5, 31);
                    }
                };
            },
            4000);
    }

    [Fact]
    public void AGeneralGuideInAJaggedField()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => (0.05 * (y - 4_000_000)) + (2 * Math.Sin(x / 30)), 120, 120, 2, 499_940, 3_999_940);
        IsLinear(
            corners =>
            {
                Polygon field = Star(corners, 0.05);
                return () => Assert.NotNull(GeneralGuide.Place(ground, field, CancellationToken.None));
            },
            4000);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(0, 0.3)]
    [InlineData(0.002, 0.002)]
    public void ShotsInOnePlaceOrOnOneLine_AreLookedAtAFewTimesEach(double east, double north)
    {
        const int Many = 50_000;
        CountedShots shots = new([.. Enumerable.Range(0, Many).Select(i => new SurveyShot("s", (i % 7) * east, (i % 40_000) * north, 5))]);
        (List<SurveyShot> single, List<RepeatedShots> repeated) = ShotPlaces.Merge(shots, 0.01);
        Assert.Equal(Many, (single.Count - repeated.Count) + repeated.Sum(r => r.Shots.Count));
        Assert.InRange(shots.Asked, 1, 60L * Many);
    }

    private static Polygon Star(int corners, double teeth, double radius = 31)
    {
        Coordinate[] ring = [.. Enumerable.Range(0, corners).Select(i =>
        {
            double turn = 2 * Math.PI * i / corners, r = radius * (1 + (i % 2 == 1 ? teeth : 0));
            return new Coordinate(500_000 + (r * Math.Cos(turn)), 4_000_000 + (r * Math.Sin(turn)));
        })];
        return GeometryFactory.Default.CreatePolygon([.. ring, ring[0]]);
    }

    private sealed class CountedShots(SurveyShot[] shots) : IReadOnlyList<SurveyShot>
    {
        public long Asked { get; private set; }

        public int Count => shots.Length;

        public SurveyShot this[int index]
        {
            get
            {
                Asked++;
                return shots[index];
            }
        }

        public IEnumerator<SurveyShot> GetEnumerator() => shots.AsEnumerable().GetEnumerator();

        IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
    }
}
