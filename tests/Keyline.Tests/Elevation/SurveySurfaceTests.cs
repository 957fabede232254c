using System.Globalization;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Elevation;

/// <summary>Surfaces through shots: published shots against other software, made shots against brute force.</summary>
public sealed class SurveySurfaceTests
{
    private static readonly Func<double, double, double> Hill = (x, y) => 100 + (4 * Math.Sin(x / 30)) + (3 * Math.Cos(y / 25)) + (0.02 * x);

    // Places and values worked out once with SciPy 1.10: RBFInterpolator(kernel="thin_plate_spline", degree=1) and
    // LinearNDInterpolator, on the 52 shots of J. C. Davis, in units of 50 feet across and feet up.
    [Theory]
    [InlineData(1.0, 1.0, 909.9571, 901.8814)]
    [InlineData(2.5, 3.0, 805.5568, 814.4452)]
    [InlineData(4.2, 5.1, 754.0122, 760.3361)]
    [InlineData(5.5, 1.5, 859.1308, 859.7059)]
    [InlineData(3.3, 2.2, 869.0637, 862.6203)]
    [InlineData(0.9, 4.7, 813.9354, 814.8182)]
    public void Davis_SurfacesAgreeWithSciPy(double x, double y, double plate, double triangles)
    {
        IReadOnlyList<SurveyShot> shots = Davis();
        Assert.Equal(plate, At(ThinPlateFit.Of(shots, 0, default), x * 50, y * 50), 1e-3);
        Assert.Equal(triangles, At(new TriangleFit(shots, default), x * 50, y * 50), 1e-3);
    }

    [Fact]
    public void Davis_LeaveOneOutAgreesWithSciPyMadeAnewWithoutEachShot()
    {
        double[] plate = ThinPlateFit.Of(Davis(), 0, default).LeaveOneOut(default);
        Assert.Equal(22.334264952019083, Math.Sqrt(plate.Average(r => r * r)), 1e-6);
        Assert.Equal([56.1869, -24.0206, 30.0982, -15.5388, -22.1665, 15.4594], plate.Take(6).Select(r => Math.Round(r, 4)));
        double[] triangles = new TriangleFit(Davis(), default).LeaveOneOut(default);
        Assert.Equal(6.6909, triangles[2], 5e-5);
        Assert.Equal([13.2, -13.3696, 0.1212, -9.814, 10.9344, -4.3333], triangles.Skip(5).Take(6).Select(r => Math.Round(r, 4)));
    }

    [Fact]
    public void Fit_MoreCellsThanAllowed_IsRefusedBeforeMemoryIsTaken()
    {
        SurveySurface sound = SurveySurface.Fit(Davis());
        long cells = sound.Ground.Frame.CellCount;
        GroundDataException e = Assert.Throws<GroundDataException>(() => SurveySurface.Fit(Davis(), new SurveyOptions { MaximumCells = cells - 1 }));
        Assert.Contains("take larger cells", e.Message, StringComparison.Ordinal);
        Assert.Equal(cells, SurveySurface.Fit(Davis(), new SurveyOptions { MaximumCells = cells }).Ground.Frame.CellCount);
    }

    [Fact]
    public void Davis_NoShotIsSuspected()
    {
        SurveySurface surface = SurveySurface.Fit(Davis());
        Assert.Equal(SurveyMethod.ThinPlate, surface.Method);
        Assert.Empty(surface.Suspects);
        Assert.Empty(surface.Repeated);
        Assert.Equal(52, surface.Residuals.Count);
        Assert.InRange(surface.RootMeanSquare, 10, 23);
    }

    [Theory]
    [InlineData(SurveyMethod.ThinPlate)]
    [InlineData(SurveyMethod.Triangles)]
    public void Fit_ShotsOnAPlane_GivesThePlaneWithinTheHullOnly(SurveyMethod method)
    {
        SurveyShot[] shots = Scatter(60, (x, y) => 250 + (0.03 * x) - (0.05 * y), 600_000, 4_000_000);
        SurveySurface surface = SurveySurface.Fit(shots, new SurveyOptions { Method = method });
        GridFrame f = surface.Ground.Frame;
        int known = 0;
        for (int r = 0; r < f.Rows; r++)
        {
            for (int c = 0; c < f.Columns; c++)
            {
                if (!float.IsNaN(surface.Ground[r, c]))
                {
                    known++;
                    Assert.Equal(250 + (0.03 * (f.CentreX(c) - 600_000)) - (0.05 * (f.CentreY(r) - 4_000_000)), surface.Ground[r, c], 1e-3);
                }
            }
        }

        double hull = new NetTopologySuite.Geometries.GeometryFactory().CreateMultiPointFromCoords([.. shots.Select(s => new NetTopologySuite.Geometries.Coordinate(s.X, s.Y))]).ConvexHull().Area;
        Assert.InRange(known * f.CellArea, 0.97 * hull, 1.03 * hull);
        Assert.InRange(surface.RootMeanSquare, 0, 1e-6);
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.001)]
    public void ThinPlate_LeaveOneOut_IsWhatIsLeftWhenMadeWithoutTheShot(double smoothing)
    {
        SurveyShot[] shots = Scatter(40, Hill, 0, 0);
        double[] fast = ThinPlateFit.Of(shots, smoothing, default).LeaveOneOut(default);
        for (int i = 4; i < shots.Length; i += 5)
        {
            // The unit box must stay the same for the smoothing to mean the same: no shot of the hull is tried.
            SurveyShot[] others = [.. shots.Where((_, j) => j != i)];
            Assert.Equal(shots[i].Height - At(ThinPlateFit.Of(others, smoothing, default), shots[i].X, shots[i].Y), fast[i], 2e-5);
        }
    }

    [Fact]
    public void ThinPlate_AfterRemoving_IsWhatIsMadeWithoutThem()
    {
        SurveyShot[] shots = Scatter(50, Hill, 0, 0);
        ThinPlateFit fit = ThinPlateFit.Of(shots, 0, default);
        fit.Remove([7, 23], default);
        ThinPlateFit anew = ThinPlateFit.Of([.. shots.Where((_, i) => i is not (7 or 23))], 0, default);
        Assert.Equal(At(anew, 40, 60), At(fit, 40, 60), 1e-4);
        Assert.Equal(double.NaN, fit.LeaveOneOut(default)[7]);
        Assert.Equal(anew.LeaveOneOut(default)[30], fit.LeaveOneOut(default)[32], 1e-7);
    }

    [Fact]
    public void Triangles_LeaveOneOut_IsWhatIsLeftWhenMadeWithoutTheShot()
    {
        SurveyShot[] shots = Scatter(150, Hill, 0, 0);
        double[] fast = new TriangleFit(shots, default).LeaveOneOut(default);
        int compared = 0;
        for (int i = 0; i < shots.Length; i++)
        {
            if (!double.IsNaN(fast[i]))
            {
                SurveyShot[] others = [.. shots.Where((_, j) => j != i)];
                Assert.Equal(shots[i].Height - At(new TriangleFit(others, default), shots[i].X, shots[i].Y), fast[i], 2e-5);
                compared++;
            }
        }

        Assert.InRange(compared, 120, 149);
    }

    [Theory]
    [InlineData(SurveyMethod.ThinPlate)]
    [InlineData(SurveyMethod.Triangles)]
    public void Fit_Blunders_AreListedWorstFirstAndLeftOut(SurveyMethod method)
    {
        SurveyShot[] shots = Scatter(200, Hill, 0, 0);
        int first = Inner(shots, 0), second = Inner(shots, first + 40);
        shots[first] = shots[first] with { Height = shots[first].Height + 10 };
        shots[second] = shots[second] with { Height = shots[second].Height - 3 };
        SurveySurface surface = SurveySurface.Fit(shots, new SurveyOptions { Method = method, CellSize = 2 });
        Assert.Equal([shots[first].Name, shots[second].Name], surface.Suspects.Take(2).Select(s => s.Shot.Name));
        Assert.Equal(10, surface.Suspects[0].Residual, 0.5);
        Assert.Equal(-3, surface.Suspects[1].Residual, 0.5);
        Assert.Equal(Hill(shots[first].X, shots[first].Y), surface.Ground.HeightAt(shots[first].X, shots[first].Y), 0.5);
        Assert.DoesNotContain(surface.Residuals, r => r.Shot.Name == shots[first].Name);
        SurveySurface kept = SurveySurface.Fit(shots, new SurveyOptions { Method = method, CellSize = 2, KeepSuspects = true, Smoothing = 0 });
        Assert.Equal(200, kept.Residuals.Count);
        Assert.Contains(kept.Suspects, s => s.Shot.Name == shots[first].Name);
        Assert.InRange(kept.Ground.HeightAt(shots[first].X, shots[first].Y), Hill(shots[first].X, shots[first].Y) + 6, Hill(shots[first].X, shots[first].Y) + 11);
    }

    [Fact]
    public void Fit_NoisyShots_AreSmoothed()
    {
        SurveyShot[] shots = [.. Scatter(300, Hill, 0, 0).Select((s, i) => s with { Height = s.Height + (0.3 * Noise.At(i, 0, 1UL << 40)) })];
        SurveySurface surface = SurveySurface.Fit(shots);
        Assert.True(surface.Smoothing > 0);
        double Error(SurveySurface s) => Math.Sqrt(Enumerable.Range(0, 400).Select(i => (X: 20 + (i % 20 * 4.0), Y: 20 + (i / 20 * 4.0))).Select(p => s.Ground.HeightAt(p.X, p.Y) - Hill(p.X, p.Y)).Average(e => e * e));
        Assert.InRange(Error(surface), 0, 0.8 * Error(SurveySurface.Fit(shots, new SurveyOptions { Smoothing = 0 })));
    }

    [Fact]
    public void Fit_PlaceShotTwice_IsListedAndUsedOnce()
    {
        SurveyShot[] shots = [.. Scatter(30, Hill, 0, 0)];
        SurveyShot again = shots[4] with { Name = "again", X = shots[4].X + 0.005, Height = shots[4].Height + 0.02 };
        SurveySurface surface = SurveySurface.Fit([.. shots, again]);
        RepeatedShots repeated = Assert.Single(surface.Repeated);
        Assert.Equal([shots[4].Name, "again"], repeated.Shots.Select(s => s.Name));
        Assert.Equal(0.02, repeated.Spread, 1e-9);
        Assert.Equal(30, surface.Residuals.Count);
    }

    [Fact]
    public void Fit_TooFewOrOnALine_IsRefused()
    {
        Assert.Contains("at least 4", Assert.Throws<GroundDataException>(() => SurveySurface.Fit(Scatter(3, Hill, 0, 0))).Message, StringComparison.Ordinal);
        SurveyShot[] line = [.. Enumerable.Range(0, 20).Select(i => new SurveyShot($"{i}", i, 2 * i, i))];
        Assert.Contains("on a line", Assert.Throws<GroundDataException>(() => SurveySurface.Fit(line)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => SurveySurface.Fit([new("a", double.NaN, 0, 0)]));
    }

    [Fact]
    public void CellFor_IsHalfTheSpacingRoundedDown()
    {
        Assert.Equal(5.0, ShotPlaces.CellFor(10), 1e-12);
        Assert.Equal(2.0, ShotPlaces.CellFor(9.9), 1e-12);
        Assert.Equal(0.5, ShotPlaces.CellFor(1.3), 1e-12);
        Assert.Equal(0.1, ShotPlaces.CellFor(0.01), 1e-12);
    }

    // The first shot after one that lies well inside.
    private static int Inner(SurveyShot[] shots, int from) =>
        Enumerable.Range(from, shots.Length - from).First(i => shots[i].X is > 25 and < 75 && shots[i].Y is > 25 and < 75);

    private static double At(ShotFit fit, double x, double y)
    {
        float[] one = [float.NaN];
        fit.Fill(new GridFrame(1, 1, 0.01, x - 0.005, y + 0.005), one, [(0, 1)], default);
        return one[0];
    }

    private static SurveyShot[] Scatter(int count, Func<double, double, double> height, double east, double north) =>
    [
        .. Enumerable.Range(0, count).Select(i =>
        {
            (double x, double y) = i switch { 0 => (0, 0), 1 => (100, 0), 2 => (100, 100), 3 => (0, 100), _ => (50 + (49 * Noise.At(i, 1, 7)), 50 + (49 * Noise.At(i, 2, 7))) };
            return new SurveyShot(i.ToString(CultureInfo.InvariantCulture), east + x, north + y, height(x, y));
        }),
    ];

    private static List<SurveyShot> Davis()
    {
        DirectoryInfo? at = new(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(at!.FullName, "Keyline.sln")))
        {
            at = at.Parent;
        }

        return [.. File.ReadLines(Path.Combine(at.FullName, "testdata", "open", "davis", "shots.csv")).Skip(1).Select(line =>
        {
            string[] part = line.Split(',');
            double[] v = Array.ConvertAll(part[1..], p => double.Parse(p, CultureInfo.InvariantCulture));
            return new SurveyShot(part[0], v[0], v[1], v[2]);
        })];
    }
}
