using System.Globalization;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Reads what was measured at points: penetrometer, spade, rings, conductivity, cover.</summary>
/// <remarks>
/// <para>Units: in the names of columns, as <c>depth_cm</c>, <c>pressure_psi</c>, <c>infiltration_mm_h</c>, <c>eca_ms_m</c>, <c>temperature_c</c>,
/// <c>time_min</c>, <c>cover_pct</c>. Promises: a strength counts only where column <c>moisture</c> says moist or wet; the same place, or the same
/// <c>point</c>, joins penetrometer readings to a profile; outliers are told and stay unless they are to be dropped.</para>
/// <para>Cost: one look at each value and its neighbours. Source: field capacity for penetrometers as in <see cref="PenetrometerProfile"/>.</para>
/// </remarks>
public static class ReadingsReader
{
    private const int MostNamed = 6;

    private static readonly Dictionary<string, UnitKind> Quantities = new(SiteQuantities.All.Where(q => q.Key is not ("name" or "strength")))
    {
        ["point"] = UnitKind.Word, ["depth"] = UnitKind.Length, ["pressure"] = UnitKind.Pressure, ["moisture"] = UnitKind.Word, ["infiltration"] = UnitKind.Rate,
        ["eca"] = UnitKind.Conductivity, ["temperature"] = UnitKind.Celsius, ["time"] = UnitKind.Minutes, ["pass"] = UnitKind.Number, ["notes"] = UnitKind.Word,
    };

    // Columns that say where a point is.
    private static readonly HashSet<string> Places = new(StringComparer.OrdinalIgnoreCase) { "longitude", "latitude", "lon", "lat", "easting", "northing", "easting_m", "northing_m", "x", "y" };

    /// <summary>Reads.</summary>
    /// <param name="records">Points with their values; several files may come one after the other.</param>
    /// <param name="stop">Strength that stops roots, pascals, for the pans that are mapped.</param>
    /// <param name="dropOutliers">Whether readings that do not fit those around them are left out of the series.</param>
    /// <exception cref="GroundDataException">A value that cannot be, or a column that does not say its unit.</exception>
    public static SoilReadings Read(IEnumerable<SiteRecord> records, double stop, bool dropOutliers = false)
    {
        ArgumentNullException.ThrowIfNull(records);
        List<string> said = [];
        List<(Coordinate, SiteFacts)> seen = [];
        List<ConductivityReading> conductivity = [];
        bool dryConductivity = false;
        OrderedDictionary<string, (Coordinate At, GroundMoisture Moisture, List<(double, double)> Readings)> profiles = [];
        SortedSet<string> aside = new(StringComparer.Ordinal);
        foreach (SiteRecord record in records)
        {
            if (record.Shape is not Point { IsEmpty: false } point)
            {
                throw new GroundDataException($"{record.Where}: it is no point; give readings as points.");
            }

            Dictionary<string, string> facts = [];
            Row row = Row.Of(record, Quantities, Places, aside, facts);
            if (facts.Count > 0)
            {
                seen.Add((point.Coordinate, SiteReader.Read([record with { Shape = AnyArea, Values = facts }], null, [])[0].Facts));
            }

            double infiltration = row.Number("infiltration", 0, 0.01);
            if (double.IsFinite(infiltration))
            {
                seen.Add((point.Coordinate, new SiteFacts { Conductivity = Math.Max(infiltration, 1e-10) }));
            }

            double strength = row.Number("pressure", 0, 5e7), depth = row.Number("depth", 0, 5), eca = row.Number("eca", 0, 100);
            GroundMoisture moisture = MoistureOf(row, record.Where);
            if (double.IsFinite(strength))
            {
                if (double.IsNaN(depth))
                {
                    throw new GroundDataException($"{record.Where}: it has a pressure and no depth; give both.");
                }

                string name = row.Text("point") is { Length: > 0 } id ? id : FormattableString.Invariant($"{point.X:0.##} {point.Y:0.##}");
                if (!profiles.TryGetValue(name, out (Coordinate At, GroundMoisture Moisture, List<(double, double)> Readings) profile))
                {
                    profile = (point.Coordinate, moisture, []);
                    profiles.Add(name, profile);
                }

                if (profile.At.Distance(point.Coordinate) > 5 || profile.Moisture != moisture)
                {
                    throw new GroundDataException($"{record.Where}: profile {name} is said to lie at another place, or to have been otherwise wet, than in its first line; name it differently.");
                }

                profile.Readings.Add((depth, strength));
            }

            if (double.IsFinite(eca))
            {
                dryConductivity |= moisture == GroundMoisture.Dry;
                double pass = row.Number("pass", 0, 1000);
                conductivity.Add(new ConductivityReading(point.X, point.Y, eca, row.Number("temperature", -20, 60), row.Number("time", -1e7, 1e7), double.IsNaN(pass) ? 0 : (int)pass));
            }
        }

        if (aside.Count > 0)
        {
            said.Add($"Columns of the readings that are not known here: {string.Join(", ", aside.Take(20))}.");
        }

        List<PenetrometerProfile> used = Profiles(profiles, said);
        List<ReadingSeries> series = Series(used, seen, stop);
        if (conductivity.Count > 0)
        {
            series.Add(Conductivity(conductivity, dryConductivity, said));
        }

        return new SoilReadings(used, seen, [.. series.Where(s => s.Points.Count > 0).Select(s => Checked(s, dropOutliers, said))], said);
    }

    private static readonly Polygon AnyArea = new(new LinearRing([new(0, 0), new(1, 0), new(1, 1), new(0, 0)]));

    private static GroundMoisture MoistureOf(Row row, string where) => row.Text("moisture").ToLowerInvariant() switch
    {
        "" => GroundMoisture.Unknown,
        "dry" => GroundMoisture.Dry,
        "moist" or "field capacity" or "field-capacity" => GroundMoisture.Moist,
        "wet" => GroundMoisture.Wet,
        _ => throw new GroundDataException($"{where}: moisture is \"{row.Text("moisture")}\": write dry, moist (at field capacity) or wet."),
    };

    private static List<PenetrometerProfile> Profiles(OrderedDictionary<string, (Coordinate At, GroundMoisture Moisture, List<(double, double)> Readings)> found, List<string> said)
    {
        List<PenetrometerProfile> all = [.. found.Select(p => new PenetrometerProfile(p.Key, p.Value.At.X, p.Value.At.Y, p.Value.Moisture, p.Value.Readings))];
        Say(p => p.Moisture == GroundMoisture.Dry, "on dry ground, where everything reads hard: refused; read again at field capacity, a day or two after soaking rain");
        Say(p => p.Moisture == GroundMoisture.Unknown, "without a word on how wet the ground was: refused; give a column moisture with dry, moist or wet");
        Say(p => p.Moisture == GroundMoisture.Wet, "on wet ground, where a pan reads softer than it is");
        Say(p => p.Stones.Count > 0, "with a single reading that stands alone, taken for a stone and left out");
        return [.. all.Where(p => p.Moisture is GroundMoisture.Moist or GroundMoisture.Wet)];

        void Say(Func<PenetrometerProfile, bool> which, string what)
        {
            string[] names = [.. all.Where(which).Select(p => p.Name)];
            if (names.Length > 0)
            {
                said.Add($"{names.Length} {(names.Length == 1 ? "profile" : "profiles")} {what}: {string.Join(", ", names.Take(MostNamed))}{(names.Length > MostNamed ? " and more" : "")}.");
            }
        }
    }

    private static List<ReadingSeries> Series(List<PenetrometerProfile> profiles, List<(Coordinate At, SiteFacts Facts)> seen, double stop)
    {
        SoilPoint[] Layer(Func<HardLayer, double> edge) => [.. profiles.Select(p => new SoilPoint(p.X, p.Y, 100 * edge(p.LayerAbove(stop)))).Where(p => double.IsFinite(p.Value))];
        SoilPoint[] Seen(Func<SiteFacts, double> fact, double factor) => [.. seen.Select(s => new SoilPoint(s.At.X, s.At.Y, factor * fact(s.Facts))).Where(p => double.IsFinite(p.Value))];
        return
        [
            new("pan_top_cm", "depth of the pan", "cm", [.. Layer(l => l.Top), .. Seen(f => f.PanTop, 100)]),
            new("pan_bottom_cm", "lower edge of the pan", "cm", [.. Layer(l => l.Bottom), .. Seen(f => f.PanBottom, 100)]),
            new("strength_kpa", "greatest strength", "kPa", [.. profiles.Select(p => new SoilPoint(p.X, p.Y, p.Greatest / 1000))]),
            new("infiltration_mm_h", "intake by rings", "mm/h", Seen(f => f.Conductivity, 3.6e6)),
            new("cover_pct", "cover", "%", Seen(f => f.Cover, 100)),
            new("rock_depth_cm", "depth of rock", "cm", Seen(f => f.RockDepth, 100)),
            new("clay_pct", "clay", "%", Seen(f => f.Clay, 100)),
        ];
    }

    private static ReadingSeries Conductivity(List<ConductivityReading> readings, bool isDry, List<string> said)
    {
        CorrectedConductivity corrected = ConductivitySurvey.Correct(readings);
        int without = readings.Count(r => double.IsNaN(r.Temperature));
        said.Add(without == readings.Count ? "Conductivity: no soil temperature was given, so readings of different days cannot be compared."
            : FormattableString.Invariant($"Conductivity was brought to 25 °C (Corwin and Lesch 2005){(without > 0 ? FormattableString.Invariant($"; {without} readings without a temperature took the mean of the others") : "")}."));
        said.Add(double.IsNaN(corrected.DriftAnHour) ? "Conductivity: no transect was driven twice, so the instrument's drift is not known."
            : FormattableString.Invariant($"Conductivity: the instrument drifted by {100 * corrected.DriftAnHour:+0.00;-0.00;0} mS/m an hour by {corrected.Pairs} places met again; this was taken away."));
        said.Add("Conductivity alone is not texture, water or salt: core the places proposed and set it against what they show.");
        if (isDry)
        {
            said.Add("Conductivity was read on dry ground, where it tells little: read it at or near field capacity.");
        }

        return new ReadingSeries("eca_ms_m", "conductivity at 25 °C", "mS/m", [.. corrected.Points.Select(p => p with { Value = 100 * p.Value })]);
    }

    private static ReadingSeries Checked(ReadingSeries series, bool drop, List<string> said)
    {
        IReadOnlyList<int> odd = OutlierCheck.Find(series.Points);
        if (odd.Count == 0)
        {
            return series;
        }

        said.Add(FormattableString.Invariant($"{series.Name}: {odd.Count} of {series.Points.Count} readings do not fit those around them and were {(drop ? "left out of the map" : "kept")}: {string.Join("; ", odd.Take(MostNamed).Select(i => FormattableString.Invariant($"{series.Points[i].Value:G4} {series.Unit} at {series.Points[i].X:0}, {series.Points[i].Y:0}")))}{(odd.Count > MostNamed ? "; and more" : "")}; look at them in the field book."));
        HashSet<int> left = [.. odd];
        return drop ? series with { Points = [.. series.Points.Where((_, i) => !left.Contains(i))] } : series;
    }

    private sealed class Row(Dictionary<string, (string Text, double Factor, string Column)> values, string where)
    {
        public static Row Of(SiteRecord record, Dictionary<string, UnitKind> quantities, HashSet<string> places, SortedSet<string> aside, Dictionary<string, string> facts)
        {
            Dictionary<string, (string, double, string)> values = [];
            foreach ((string name, string value) in record.Values)
            {
                if (UnitName.Read(name, quantities) is not { } known)
                {
                    if (!places.Contains(name) && name is not ("name" or "id"))
                    {
                        aside.Add(name);
                    }

                    continue;
                }

                if (value.Trim().Length == 0)
                {
                    continue;
                }

                if (double.IsNaN(known.Factor))
                {
                    throw new GroundDataException($"{record.Where}: column \"{name}\" does not say its unit; end it with one of {UnitName.Names(quantities[known.Quantity])}.");
                }

                if (SiteQuantities.All.ContainsKey(known.Quantity))
                {
                    facts[name] = value;
                }
                else
                {
                    values[known.Quantity] = (value.Trim(), known.Factor, name);
                }
            }

            return new Row(values, record.Where);
        }

        public string Text(string quantity) => values.TryGetValue(quantity, out (string Text, double, string) at) ? at.Text : "";

        public double Number(string quantity, double least, double most)
        {
            if (!values.TryGetValue(quantity, out (string Text, double Factor, string Column) at))
            {
                return double.NaN;
            }

            return double.TryParse(at.Text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && value * at.Factor >= least && value * at.Factor <= most ? value * at.Factor
                : throw new GroundDataException(FormattableString.Invariant($"{where}: {at.Column} is \"{(at.Text.Length > 40 ? at.Text[..40] : at.Text)}\": it must be a number from {least / at.Factor:0.###} to {most / at.Factor:0.###}."));
        }
    }
}
