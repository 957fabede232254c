using System.Diagnostics;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Landform;

/// <summary>Every stage on 4000 x 4000 cells, stopped midway: it throws, and soon.</summary>
/// <remarks>What is promised is a second. Three are asserted, because the machine that runs this may be busy with other work.</remarks>
public sealed class CancellationTests(ITestOutputHelper output)
{
    private const int Side = 4000;
    private const double Promised = 3;
    private static readonly Lazy<ElevationGrid> Land = new(() => Make(0.02f));

    // Valleys 500 m apart with a little noise, a lake 1.5 km wide and a hole 1 km wide; cells of 4 m are as wide as are worked with.
    private static ElevationGrid Make(float noise)
    {
        GridFrame frame = new(Side, Side, 4, 500_000, 7_000_000);
        float[] down = [.. Enumerable.Range(0, Side).Select(r => (float)((8 * Math.Sin(r / 27.0)) - (0.03 * r)))];
        float[] across = [.. Enumerable.Range(0, Side).Select(c => (float)(8 * Math.Sin(c / 20.0)))];
        float[] z = new float[Side * Side];
        Parallel.For(0, Side, r =>
        {
            for (int c = 0; c < Side; c++)
            {
                z[(r * Side) + c] = r is > 500 and < 900 && c is > 500 and < 900 ? 100
                    : r is > 2000 and < 2250 && c is > 3000 and < 3250 ? float.NaN
                    : 300 + down[r] + across[c] + (noise * (float)Support.Noise.At(r, c, 5));
            }
        });
        return ElevationGrid.TakeOver(frame, z);
    }

    [Fact]
    public void Elevation_Stopped_EndsSoon()
    {
        ElevationGrid land = Land.Value;
        Stop("smoothing", stop => GaussianSmoothing.ApplyTwice(land, 20, stop));
        Stop("smoothing faces", stop => FaceSmoothing.Apply(land, new FaceSmoothingOptions { Noise = 0.1, Reach = 20 }, stop));
        Stop("inspecting", stop => GroundInspection.Inspect(land, stop));
        Stop("filling holes", stop => VoidFilling.Fill(land, 1e9, stop));
        Stop("measuring a change", stop => HeightChange.Between(land, land, null, stop));
    }

    [Fact]
    public void Surveys_Stopped_EndSoon()
    {
        SurveyShot[] Shots(int count) => [.. Enumerable.Range(0, count).Select(i =>
            new SurveyShot("", 1000 * Support.Noise.At(i, 0, 1), 1000 * Support.Noise.At(i, 0, 2_000_000), 100 + Support.Noise.At(i, 0, 3_000_000)))];
        SurveyShot[] some = Shots(1200), many = Shots(30_000);
        Stop("a thin plate", stop => SurveySurface.Fit(some, new SurveyOptions { Method = SurveyMethod.ThinPlate, CellSize = 20 }, stop));
        Stop("triangles", stop => SurveySurface.Fit(many, new SurveyOptions { Method = SurveyMethod.Triangles, CellSize = 2 }, stop));
    }

    [Fact]
    public void Terrain_Stopped_EndsSoon()
    {
        ElevationGrid land = Land.Value;
        Stop("slope", stop => Slope.Percent(land, cancellationToken: stop));
        Stop("relief", stop => Hillshade.Compute(land, cancellationToken: stop));
        Stop("curvature", stop => Curvature.Measure(land, [CurvatureKind.Plan], 51, stop));
        Stop("contours", stop => ContourLines.Trace(land, [.. Enumerable.Range(0, 60).Select(i => 160.0 + (3 * i))], stop));
    }

    [Fact]
    public void Drainage_Stopped_EndsSoon()
    {
        ElevationGrid land = Land.Value;
        ElevationGrid filled = RunAndStop("filling", stop => DepressionFilling.Fill(land, stop));
        Stop("hollows", stop => Depressions.Find(land, filled, cancellationToken: stop));
        D8Directions directions = RunAndStop("directions", stop => D8Directions.Route(filled, stop));
        Grid<double> area = RunAndStop("area", stop => FlowAccumulation.Compute(directions, stop));
        Grid<float> even = new(land.Frame, [.. Enumerable.Repeat(1f, Side * Side)]);
        Stop("weighted area", stop => FlowAccumulation.Compute(directions, even, stop));
        Stop("order", stop => StrahlerOrder.Compute(directions, area, 40_000, stop));
        Stop("length up", stop => FlowLength.Upstream(directions, stop));
        Stop("length down", stop => FlowLength.Downstream(directions, stop));
        DInfinityDirections shared = RunAndStop("shared directions", stop => DInfinityDirections.Route(filled, stop));
        Stop("shared area", stop => FlowAccumulation.Compute(shared, stop));
        Coordinate outlet = new(land.Frame.CentreX(2000), land.Frame.CentreY(Side - 1));
        Grid<int> labels = RunAndStop("catchments", stop => Catchments.OfPoints(directions, [outlet], stop));
        Assert.ThrowsAny<OperationCanceledException>(() => Catchments.Outline(labels, 1, new CancellationToken(true)));
        BreachOptions far = new() { MaximumDepth = 50, MaximumLength = 2000, FillRest = false };
        Stop("breaching", stop => DepressionBreaching.Breach(land, far, stop));
    }

    [Fact]
    public void Landform_Stopped_EndsSoon()
    {
        ElevationGrid land = GaussianSmoothing.Apply(Land.Value, 10);
        LandformOptions options = new();
        GroundShape shape = RunAndStop("shape", stop => GroundShape.Measure(land, 6, stop));
        DrainageTree tree = RunAndStop("drainage", stop => DrainageTree.Build(land, options.MaximumSill, null, stop));
        ElevationGrid inverted = ElevationGrid.TakeOver(land.Frame, Array.ConvertAll(land.Heights.ToArray(), z => -z));
        DrainageTree up = DrainageTree.Build(inverted, double.PositiveInfinity, null, default);
        List<Stem> stems = RunAndStop("network", stop => LineNetwork.Find(land, tree, shape, 1, options, null, stop));
        Assert.InRange(stems.Count, 100, 100_000);
        List<ValleyLines.Made> made = RunAndStop("valley lines", stop => ValleyLines.Make(land, land, tree, stems, null, stop));
        LineString[] crests = [.. RunAndStop("ridge lines", stop => RidgeLines.Make(land, inverted, tree, up, shape, stems, options, null, stop)).Ridges.Select(r => r.Line)];
        Stop("landform position", stop => LandformPosition.Solve(land, made.Select(m => m.Valley.Line), crests, options.Reach, null, stop));
        Stop("shape of the land", stop => LandShape.Read(land, shape, made.Count, 0, stop));
        Stop("general guide", stop => GeneralGuide.Place(land, null, stop));
    }

    /// <summary>Runs to the end for its result, and again, stopped after a quarter of the time that took.</summary>
    private T RunAndStop<T>(string stage, Func<CancellationToken, T> work)
    {
        Stopwatch watch = Stopwatch.StartNew();
        T result = work(CancellationToken.None);
        Stop(stage, work, watch.Elapsed.TotalSeconds / 4);
        return result;
    }

    /// <summary>Runs and is stopped after a while; after half as long where it was done before.</summary>
    private void Stop<T>(string stage, Func<CancellationToken, T> work, double after = 0.6)
    {
        for (; after > 0.002; after /= 2)
        {
            using CancellationTokenSource source = new();
            long at = 0;
            TimeSpan worked = TimeSpan.Zero;
            using CancellationTokenRegistration told = source.Token.Register(() =>
            {
                worked = Environment.CpuUsage.TotalTime;
                Volatile.Write(ref at, Stopwatch.GetTimestamp());
            });
            source.CancelAfter(TimeSpan.FromSeconds(after));
            try
            {
                work(source.Token);
                Assert.False(at != 0 && Lag(at, worked) > 1, $"{stage} ran to its end after it was stopped.");
            }
            catch (OperationCanceledException)
            {
                double lag = Lag(at, worked);
                output.WriteLine($"{stage}: stopped after {after:0.00} s, ended {lag:0.000} s later");
                Assert.True(lag < Promised, $"{stage} went on for {lag:0.0} s after it was stopped.");
                return;
            }
        }

        Assert.Fail($"{stage} was over before it could be stopped.");
    }

    // Seconds since it was stopped, but no more than this process has worked since: on a busy machine it waits for its turn. None
    // where the work saw the token before the clock was read.
    private static double Lag(long at, TimeSpan worked) =>
        at == 0 ? 0 : Math.Min(Stopwatch.GetElapsedTime(at).TotalSeconds, (Environment.CpuUsage.TotalTime - worked).TotalSeconds);
}
