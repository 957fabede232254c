using System.Globalization;
using System.Text.Json;
using Keyline.Formats;
using Keyline.Report;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Views;

/// <summary>One way of laying out the field, and what the storm did on it.</summary>
internal sealed record WaterCase(string Name, double Kilometres, StormResult Result, double Kept, double[] Fifths)
{
    /// <summary>Metres that left the field, less what ran into it.</summary>
    public double Runoff => (Result.Gauges[0].Outflow - Result.Gauges[0].Inflow) / Result.Gauges[0].Area;

    /// <summary>The same with what ran into the field's own dams, of which there are so many, less the rain on them.</summary>
    public double RanOff(int dams) => Runoff + (Result.Dams.Take(dams).Sum(d => d.Stored - (d.Area * Result.Storm.Depth)) / Result.Gauges[0].Area);
}

/// <summary>A place beside the field whose water is counted.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Kind">What it is: outlet, dam, gully, neighbour, or another word.</param>
/// <param name="Shape">Its shape, in the ground's coordinates.</param>
internal sealed record WatchedPlace(string Name, string Kind, Geometry Shape);

/// <summary>A storm of a design table, before and after.</summary>
internal sealed record StormRow(double Years, Hyetograph Storm, double RunoffBefore, double RunoffAfter, double PeakBefore, double PeakAfter, double Kept);

/// <summary>What a storm did: the field as it is first, the plan second, other ways after them.</summary>
/// <param name="Storm">The storm.</param>
/// <param name="Soil">The soil.</param>
/// <param name="Options">How it was run.</param>
/// <param name="Cases">What came of it, case by case.</param>
/// <param name="Said">Findings and what else there is to say.</param>
/// <param name="ExitCode">What the shell is told.</param>
internal sealed record WaterView(Hyetograph Storm, SoilColumn Soil, StormOptions Options, IReadOnlyList<WaterCase> Cases, IReadOnlyList<string> Said, int ExitCode) : IView, IRasterSettings
{
    /// <summary>The files that were written.</summary>
    public OutputFiles? Written { get; init; }

    /// <summary>The account of years, where weather was given.</summary>
    public YearWorth? Years { get; init; }

    /// <summary>What else there is to say of the years.</summary>
    public IReadOnlyList<string> YearNotes { get; init; } = [];

    /// <summary>Places that were watched: gauges behind the field's, in their order.</summary>
    public IReadOnlyList<WatchedPlace> Places { get; init; } = [];

    /// <summary>Storms of a design table, by return period.</summary>
    public IReadOnlyList<StormRow> Design { get; init; } = [];

    /// <summary>What the plan keeps more where its rips are of another age, metres.</summary>
    public IReadOnlyList<(string Name, double Gain)> Ages { get; init; } = [];

    public void WriteText(UnitText output)
    {
        WriteTables(output);
        Written?.WriteText(output);
    }

    public void WriteTables(UnitText output)
    {
        WaterText.Write(output, this);
        if (Years is { } years)
        {
            YearText.Write(output, years, YearNotes);
        }
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        WriteMembers(json);
        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }

    public void WriteMembers(Utf8JsonWriter json)
    {
        json.WriteString("storm", Storm.Name);
        JsonText.Number(json, "storm_mm", 1000 * Storm.Depth, 3);
        json.WriteString("soil", Soil.Name);
        JsonText.Number(json, "conductivity_mm_h", Soil.Conductivity * 3.6e6, 4);
        JsonText.Sections(json, "cases", Cases, c =>
        {
            json.WriteString("name", c.Name);
            JsonText.Number(json, "lines_km", c.Kilometres, 3);
            JsonText.Number(json, "taken_in_mm", 1000 * c.Kept, 3);
            json.WriteStartArray("by_fifths_mm");
            foreach (double f in c.Fifths)
            {
                json.WriteNumberValue(Math.Round(1000 * f, 3));
            }

            json.WriteEndArray();
            JsonText.Number(json, "runoff_mm", 1000 * c.Runoff, 3);
            JsonText.Number(json, "peak_l_s", 1000 * c.Result.Gauges[0].PeakOutflow, 2);
            JsonText.Number(json, "balance_error", c.Result.Balance.Error, 12);
        });
        JsonText.Sections(json, "places", Places.Select((p, k) => (Place: p, Before: Cases[0].Result.Gauges[k + 1], After: Cases[1].Result.Gauges[k + 1])), g =>
        {
            json.WriteString("name", g.Place.Name);
            json.WriteString("kind", g.Place.Kind);
            JsonText.Number(json, "before_m3", g.Before.Inflow, 3);
            JsonText.Number(json, "after_m3", g.After.Inflow, 3);
            JsonText.Number(json, "peak_before_l_s", 1000 * g.Before.PeakInflow, 2);
            JsonText.Number(json, "peak_after_l_s", 1000 * g.After.PeakInflow, 2);
        });
        JsonText.Sections(json, "storms", Design, d =>
        {
            JsonText.Number(json, "return_years", d.Years, 3);
            json.WriteString("storm", d.Storm.Name);
            JsonText.Number(json, "storm_mm", 1000 * d.Storm.Depth, 3);
            JsonText.Number(json, "runoff_before_mm", 1000 * d.RunoffBefore, 3);
            JsonText.Number(json, "runoff_after_mm", 1000 * d.RunoffAfter, 3);
            JsonText.Number(json, "peak_before_l_s", 1000 * d.PeakBefore, 2);
            JsonText.Number(json, "peak_after_l_s", 1000 * d.PeakAfter, 2);
            JsonText.Number(json, "kept_mm", 1000 * d.Kept, 3);
        });
        if (Cases[1].Result.Dams.Count > 0)
        {
            JsonText.Sections(json, "dams", Cases[0].Result.Dams.Zip(Cases[1].Result.Dams), d =>
            {
                json.WriteString("name", d.Second.Name);
                JsonText.Number(json, "before_m3", d.First.Stored, 3);
                JsonText.Number(json, "after_m3", d.Second.Stored, 3);
            });
        }

        if (Cases[1].Result.Deliveries.Count > 0)
        {
            JsonText.Sections(json, "line_ends_at_outlets", Cases[1].Result.Deliveries, d =>
            {
                json.WriteString("line", d.LineId);
                json.WriteString("end", d.IsStart ? "start" : "end");
                json.WriteString("outlet", d.Outlet);
                JsonText.Number(json, "volume_m3", d.Volume, 3);
            });
        }

        if (Ages.Count > 0)
        {
            JsonText.Sections(json, "ages", Ages, a =>
            {
                json.WriteString("name", a.Name);
                JsonText.Number(json, "kept_mm", 1000 * a.Gain, 3);
            });
        }

        JsonText.Texts(json, "said", Said);
        if (Years is { } years)
        {
            YearText.WriteMembers(json, years, YearNotes);
        }
    }
}

/// <summary>What a storm did, as tables.</summary>
internal static class WaterText
{
    private const int MostLines = 12;

    public static void Write(UnitText text, WaterView view)
    {
        (Hyetograph storm, SoilColumn soil, StormOptions options, IReadOnlyList<WaterCase> cases, IReadOnlyList<string> said) = (view.Storm, view.Soil, view.Options, view.Cases, view.Said);
        double area = cases[0].Result.Gauges[0].Area;
        text.Line($"Storm: {storm.Name}. Soil: {soil.Name} ({soil.Conductivity * 3.6e6:0.##} mm/h wet, suction {1000 * soil.Suction:0} mm, room {soil.Deficit:0.00}).");
        text.Line($"Rip: {options.Rip.Depth:0.00} m deep, furrow {100 * options.Rip.FurrowDepth:0.#} cm, ridge {100 * options.Rip.RidgeHeight:0.#} cm, air {text.Units.Number(options.Rip.SlotStorage, UnitKind.WaterForLength, "0.0")} {text.Symbol(UnitKind.WaterForLength)}. Field: {area / 1e4:0.0} ha.");
        text.WriteLine();
        string rain = text.Symbol(UnitKind.WaterDepth), flow = text.Symbol(UnitKind.WaterFlow), water = text.Symbol(UnitKind.WaterVolume);
        Line(text, $"{"",-22} {text.Symbol(UnitKind.Way),6} {"taken in",9} {$"of that, by fifths from hollow to spur, {rain}",-44} {"runoff",7} {"peak",8}");
        Line(text, $"{"",-22} {"",6} {rain,9} {"hollow",8} {"",8} {"",8} {"",8} {"spur",8} {rain,7} {flow,8}");
        foreach (WaterCase c in cases)
        {
            Line(text, $"{c.Name,-22} {text.Cell(1000 * c.Kilometres, UnitKind.Way, "0.0", 6)} {Rain(c.Kept, 9)} {string.Join(' ', c.Fifths.Select(f => Rain(f, 8)))} {Rain(c.Runoff, 7)} {Flow(c.Result.Gauges[0].PeakOutflow, 8)}");
        }

        text.WriteLine();
        WaterCase plan = cases[1];
        text.Line($"The plan keeps {1000 * (plan.Kept - cases[0].Kept):0.0} mm more, {(plan.Kept - cases[0].Kept) * area:0} m3; balance of all water to {Math.Abs(plan.Result.Balance.Error):0.0e+0} of the rain.");
        if (view.Ages.Count > 0)
        {
            text.Line($"That is at the age asked for; {string.Join(", ", view.Ages.Select(a => $"{a.Name}: {text.Units.Number(a.Gain, UnitKind.WaterDepth, "0.0")} {rain}"))}.");
        }

        if (view.Places.Count > 0)
        {
            text.WriteLine();
            Line(text, $"{"Reaches",-22} {"before " + water,10} {"after " + water,10} {"peak before " + flow,16} {"after " + flow,10}");
            for (int k = 0; k < view.Places.Count; k++)
            {
                GaugeReading before = cases[0].Result.Gauges[k + 1];
                GaugeReading after = plan.Result.Gauges[k + 1];
                Line(text, $"{after.Name,-22} {Volume(before.Inflow)} {Volume(after.Inflow)} {text.Cell(before.PeakInflow, UnitKind.WaterFlow, "0.0", 16)} {text.Cell(after.PeakInflow, UnitKind.WaterFlow, "0.0", 10)}");
            }
        }

        if (view.Design.Count > 0)
        {
            text.WriteLine();
            Line(text, $"{"Return period, years",-22} {"rain " + rain,9} {"runs off " + rain,14} {"with plan",10} {"kept " + rain,9} {"peak " + flow,10} {"with plan",10}");
            foreach (StormRow d in view.Design)
            {
                Line(text, $"{d.Years,-22:0.##} {Rain(d.Storm.Depth, 9)} {Rain(d.RunoffBefore, 14)} {Rain(d.RunoffAfter, 10)} {Rain(d.Kept, 9)} {Flow(d.PeakBefore, 10)} {Flow(d.PeakAfter, 10)}");
            }
        }

        foreach (string sentence in said)
        {
            text.WriteLine();
            text.Sentence(sentence);
        }

        text.WriteLine();
        Line(text, $"Lines that spilled most ({water}): {string.Join(", ", plan.Result.Lines.Where(l => l.Spilled > 0).OrderByDescending(l => l.Spilled).Take(MostLines).Select(l => $"{l.Id} {text.Units.Number(l.Spilled, UnitKind.WaterVolume, "0.0")}"))}.");
        text.WriteLine("A model of water is an aid to judgement, not engineering advice; conductivity may be ten times off in one field: measure it.");

        string Rain(double metres, int width) => text.Cell(metres, UnitKind.WaterDepth, "0.0", width);

        string Flow(double flow, int width) => text.Cell(flow, UnitKind.WaterFlow, "0", width);

        string Volume(double volume) => text.Cell(volume, UnitKind.WaterVolume, "0.0", 10);
    }

    public static void WriteLines(TextWriter text, IReadOnlyList<LineWater> lines)
    {
        text.WriteLine("id,length_m,taken_m3,soaked_m3,held_m3,spilled_m3,spilled_at_ends_m3,led_m3,spill_x,spill_y,end_flow_l_s,end_speed_m_s,end_shear_pa,fastest_m_s");
        foreach (LineWater l in lines)
        {
            Line(text, $"{l.Id},{l.Length:0.0},{l.Taken:0.000},{l.Soaked:0.000},{l.Held:0.000},{l.Spilled:0.000},{l.SpilledAtEnds:0.000},{l.Led:0.000},{Place(l.SpillX)},{Place(l.SpillY)},{1000 * l.EndFlow:0.000},{l.EndSpeed:0.000},{l.EndShear:0.00},{l.Fastest:0.000}");
        }
    }

    private static string Place(double metres) => double.IsNaN(metres) ? "" : metres.ToString("0.0", CultureInfo.InvariantCulture);

    private static void Line(TextWriter text, FormattableString line) => text.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
