using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

public sealed class ReadingsTests
{
    private const double Stop = 2.07e6;

    private static SiteRecord At(double x, double y, string line) => Site.Record(line) with { Shape = new Point(x, y), Where = "made.csv, line 2" };

    // Strength rises by 100 kPa a centimetre from 0 to 3 MPa at 30 cm and falls by as much to 1 MPa at 50: past 2.07 MPa at 20.7 cm, back at 39.3.
    [Fact]
    public void Profile_HasItsPanBetweenTheCrossings()
    {
        PenetrometerProfile profile = new("A", 0, 0, GroundMoisture.Moist, Enumerable.Range(0, 11).Select(i => (0.05 * i, i <= 6 ? 5e5 * i : 3e6 - (5e5 * (i - 6)))));
        HardLayer layer = profile.LayerAbove(Stop);
        Assert.True(layer.Found);
        Assert.Equal(0.207, layer.Top, 1e-12);
        Assert.Equal(0.393, layer.Bottom, 1e-12);
        Assert.Equal(3e6, profile.Greatest);
    }

    [Fact]
    public void Profile_TellsWhatItCannotTell()
    {
        HardLayer soft = new PenetrometerProfile("A", 0, 0, GroundMoisture.Moist, [(0.1, 1e6), (0.5, 1.2e6)]).LayerAbove(Stop);
        Assert.Equal((false, double.NaN), (soft.Found, soft.Top));
        Assert.Null(new PenetrometerProfile("A", 0, 0, GroundMoisture.Moist, [(0.1, 1e6), (0.3, 1.2e6)]).LayerAbove(Stop).Found);
        HardLayer open = new PenetrometerProfile("A", 0, 0, GroundMoisture.Moist, [(0.1, 1e6), (0.3, 3e6), (0.4, 3e6)]).LayerAbove(Stop);
        Assert.Equal((true, true), (open.Found, double.IsNaN(open.Bottom)));
        PenetrometerProfile stone = new("A", 0, 0, GroundMoisture.Moist, [(0.1, 1e6), (0.15, 1e6), (0.2, 4e6), (0.25, 1.2e6), (0.45, 1e6)]);
        Assert.Equal([0.2], stone.Stones);
        Assert.Empty(new PenetrometerProfile("A", 0, 0, GroundMoisture.Moist, [(0.15, 1e6), (0.2, 3e6), (0.25, 1e6)]).Stones);
        Assert.False(stone.LayerAbove(Stop).Found);
        Assert.Throws<GroundDataException>(() => new PenetrometerProfile("A", 0, 0, GroundMoisture.Moist, [(0.1, 1e6), (0.1, 2e6)]));
    }

    [Fact]
    public void StrengthOnDryOrUnknownGround_IsRefusedAndTold()
    {
        SoilReadings readings = ReadingsReader.Read(
        [
            .. new[] { ("A", "dry"), ("B", "moist"), ("C", "wet"), ("D", "") }.SelectMany((p, i) => new[] { (10, 1000), (25, 3000), (40, 1000) }.Select(r =>
                At(10 * i, 0, FormattableString.Invariant($"point={p.Item1}, depth_cm={r.Item1}, pressure_kpa={r.Item2}, moisture={p.Item2}")))),
        ], Stop);
        Assert.Equal(["B", "C"], readings.Profiles.Select(p => p.Name));
        Assert.Contains(readings.Said, s => s.StartsWith("1 profile on dry ground", StringComparison.Ordinal) && s.EndsWith(": A.", StringComparison.Ordinal));
        Assert.Contains(readings.Said, s => s.Contains("how wet the ground was", StringComparison.Ordinal) && s.EndsWith(": D.", StringComparison.Ordinal));
        Assert.Contains(readings.Said, s => s.Contains("on wet ground", StringComparison.Ordinal));
        Assert.Equal(2, readings.Series.Single(s => s.Quantity == "pan_top_cm").Points.Count);
    }

    // 1000 to 3000 kPa over 15 cm pass 2070 at 10 + 15 x 0.535 = 18.025 cm and back at 25 + 15 x 0.465 = 31.975.
    [Fact]
    public void ReadingsOfAShape_BecomeItsFacts()
    {
        SiteRecord[] records =
        [
            .. new[] { (10, 1000), (25, 3000), (40, 1000) }.Select(r => At(50, 30, FormattableString.Invariant($"point=B, depth_cm={r.Item1}, pressure_kpa={r.Item2}, moisture=moist"))),
            At(60, 20, "texture=clay loam, pan=yes, pan_depth_in=8, pan_bottom_cm=30, rock_depth_cm=90"), At(70, 20, "rock_depth_cm=70, emerson_class=4, infiltration_mm_h=4"),
            At(70, 30, "infiltration_mm_h=16, emerson_class=3, cover_pct=40"), At(900, 900, "infiltration_mm_h=400, cover_pct=100"), At(80, 20, "cover_pct=60"),
        ];
        List<string> how = [];
        SiteFacts facts = ReadingsReader.Read(records, Stop).FactsIn(Site.Record("").Shape, Stop, how);
        Assert.Equal((true, 3, Keyline.Water.SoilTexture.ClayLoam), (facts.HasPan, facts.EmersonClass, facts.Texture));
        Assert.Equal(0.7, facts.RockDepth, 1e-12);
        Assert.Equal((0.18025 + 0.2032) / 2, facts.PanTop, 1e-9);
        Assert.Equal(0.30 + (0.75 * 0.01975), facts.PanBottom, 1e-9);
        Assert.Equal(8, facts.Conductivity * 3.6e6, 1e-9);
        Assert.Equal(0.5, facts.Cover, 1e-12);
        Assert.Equal(3e6, facts.Strength);
        Assert.Contains("2 of 2 places that were dug or pushed into here met a pan", how);
        SiteFacts survey = Site.Facts("pan_depth_cm=50, pan_bottom_cm=80, drainage=well, cover_pct=10");
        Assert.Equal((facts.PanTop, facts.PanBottom, SoilDrainage.Well, facts.Cover), Take(survey.With(facts)));
        Assert.Equal((0.5, 0.8, SoilDrainage.Well, 0.1), Take(survey.With(new SiteFacts())));

        static (double, double, SoilDrainage?, double) Take(SiteFacts f) => (f.PanTop, f.PanBottom, f.Drainage, f.Cover);
    }

    [Theory]
    [InlineData("pressure_kpa=2000, moisture=moist", "a pressure and no depth")]
    [InlineData("pressure=2000, depth_cm=2, moisture=moist", "does not say its unit")]
    [InlineData("pressure_kpa=2000, depth_cm=2, moisture=damp", "write dry, moist")]
    [InlineData("eca_ms_m=much", "must be a number")]
    [InlineData("cover_pct=101", "must be a number")]
    public void WhatCannotBe_IsRefused(string line, string because)
    {
        string said = Assert.Throws<GroundDataException>(() => ReadingsReader.Read([At(0, 0, line)], Stop)).Message;
        Assert.StartsWith("made.csv, line 2", said, StringComparison.Ordinal);
        Assert.Contains(because, said, StringComparison.Ordinal);
    }

    // Corwin and Lesch 2005, after Sheets and Hendrickx 1995: 1.2491 at 15 degrees, 0.9994 at 25, 0.8275 at 35; computed here from the equation.
    [Theory]
    [InlineData(15, 1.249125)]
    [InlineData(25, 0.999437)]
    [InlineData(35, 0.827472)]
    public void Conductivity_At25Degrees(double temperature, double factor) => Assert.Equal(factor, ConductivitySurvey.To25(temperature), 1e-6);

    [Fact]
    public void Drift_IsFoundFromTheTransectDrivenAgain()
    {
        double Ground(double x) => 0.5 + (0.002 * x);
        ConductivityReading Read(double x, double minutes, int pass) => new(x, pass == 2 ? 1 : 0, Ground(x) + (0.001 * (minutes - 5)), double.NaN, minutes, pass);
        ConductivityReading[] readings =
        [
            .. Enumerable.Range(0, 20).Select(i => Read(10 * i, 5 + (0.5 * i), 1)), .. Enumerable.Range(0, 50).Select(i => Read(4 * i, 20 + i, 0)), .. Enumerable.Range(0, 20).Select(i => Read((10 * i) + 0.0, 80 + (0.5 * i), 2)),
        ];
        CorrectedConductivity corrected = ConductivitySurvey.Correct(readings);
        Assert.Equal((50, 20), (corrected.Points.Count, corrected.Pairs));
        Assert.Equal(0.06, corrected.DriftAnHour, 1e-12);
        Assert.All(corrected.Points, p => Assert.Equal(Ground(p.X), p.Value, 1e-12));
        Assert.True(double.IsNaN(ConductivitySurvey.Correct([.. readings.Where(r => r.Pass != 2)]).DriftAnHour));
    }

    [Fact]
    public void Outliers_AreThoseThatDoNotFitTheirNeighbours()
    {
        SoilPoint[] points = [.. MadePoints.Scattered(200, 21).Select(p => p with { Value = (p.X / 100) + Math.Sin(p.Y / 200) })];
        Assert.Empty(OutlierCheck.Find(points[..9]));
        int high = Array.FindIndex(points, p => p.X < 200);
        points[high] = points[high] with { Value = points[high].Value + 6 };
        IReadOnlyList<int> found = OutlierCheck.Find(points);
        Assert.Contains(high, found);
        Assert.InRange(found.Count, 1, 6);
        SiteRecord[] records = [.. points.Select(p => At(p.X, p.Y, FormattableString.Invariant($"cover_pct={20 + (3 * p.Value):0.####}")))];
        Assert.Equal(200, ReadingsReader.Read(records, Stop).Series[0].Points.Count);
        SoilReadings dropped = ReadingsReader.Read(records, Stop, dropOutliers: true);
        Assert.Equal(200 - found.Count, dropped.Series[0].Points.Count);
        Assert.Contains(dropped.Said, s => s.Contains("do not fit those around them and were left out", StringComparison.Ordinal));
    }

    [Fact]
    public void Cores_StandForAllThatVaries()
    {
        CoreCandidate[] places = [.. MadePoints.Scattered(400, 31).Select(p => new CoreCandidate(p.X, p.Y, [p.Value, Math.Exp(p.X / 300)]))];
        IReadOnlyList<int> cores = CoreDesign.Choose(places, 10);
        Assert.Equal(10, cores.Distinct().Count());
        Assert.Equal(cores, CoreDesign.Choose(places, 10));
        Assert.NotEqual(cores, CoreDesign.Choose(places, 10, seed: 2));

        // One core in each tenth of the conductivity, as nearly as can be; by chance about 3.5 tenths stay empty.
        foreach (Func<CoreCandidate, double> value in new Func<CoreCandidate, double>[] { p => p.Values[0], p => p.Values[1], p => p.X, p => p.Y })
        {
            double[] sorted = [.. places.Select(value).Order()];
            int tenths = cores.Select(c => Array.IndexOf(sorted, value(places[c])) / 40).Distinct().Count();
            Assert.InRange(tenths, 8, 10);
        }

        Assert.Throws<GroundDataException>(() => CoreDesign.Choose(places[..5], 10));
        Assert.Throws<GroundDataException>(() => CoreDesign.Choose([.. places[..20], new CoreCandidate(0, 0, [1])], 10));
        Assert.Equal(Enumerable.Range(0, 10), CoreDesign.Choose(places[..10], 10));
    }
}
