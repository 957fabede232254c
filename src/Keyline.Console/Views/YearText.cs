using System.Globalization;
using System.Text.Json;
using Keyline.Formats;
using Keyline.Report;
using Keyline.Water;

namespace Keyline.Console.Views;

/// <summary>The account of years, as text, CSV and JSON.</summary>
internal static class YearText
{
    public static void Write(UnitText text, YearWorth worth, IReadOnlyList<string> notes)
    {
        YearAccount account = worth.Account;
        text.WriteLine();
        Line(text, $"The years: {account.Weather.Name}, {account.Years[0].Year} to {account.Years[^1].Year}, a day's rain as one storm with {100 * account.Options.HalfHourShare:0} % in its wettest half hour.");
        Line(text, $"{"",-10}{"years",7}{"rain",8}{"runs off",10}{"kept, first year",18}   {text.Symbol(UnitKind.WaterDepth)} a year over the field");
        foreach (YearKind kind in worth.Kinds)
        {
            Line(text, $"{kind.Name,-10}{kind.Years.Count,7}{text.Cell(kind.Rain, UnitKind.WaterDepth, "0", 8)}{text.Cell(kind.Runoff, UnitKind.WaterDepth, "0.0", 10)}{text.Cell(kind.Gained, UnitKind.WaterDepth, "0.0", 18)}");
        }

        text.WriteLine();
        Line(text, $"{"",-10}{"half-life",10}{"kg/ha/mm",10}{"kept by year, " + text.Symbol(UnitKind.WaterDepth),40}{"forage " + text.Symbol(UnitKind.MassForArea),14}{"worth" + text.Symbol(UnitKind.ForEachArea),10}{"repaid",9}");
        foreach (YearEnd end in worth.Ends)
        {
            string kept = string.Join(' ', Enumerable.Range(0, 6).Select(y => text.Units.Number(y < end.Water.Count ? end.Water[y] : 0, UnitKind.WaterDepth, "0.0")));
            string repaid = double.IsNaN(worth.Cost) ? "-" : end.Repaid is { } years ? years.ToString("0.0 yr", CultureInfo.InvariantCulture) : "never";
            Line(text, $"{end.Name,-10}{end.HalfLife,8:0.0#} y{end.Efficiency,10:0.0}{kept,40}{text.Cell(end.All.Kilograms / 1e4, UnitKind.MassForArea, "0", 14)}{text.Cell(end.All.Money / 1e4, UnitKind.ForEachArea, "0.0", 10)}{repaid,9}");
        }

        foreach (string sentence in worth.Sentences().Concat(notes))
        {
            text.WriteLine();
            text.Sentence(sentence);
        }
    }

    public static void WriteYears(TextWriter text, YearAccount account)
    {
        text.WriteLine("year,rain_mm,et0_mm,storms,storm_runoff_mm,soil_full_mm,kept_mm,used_mm,evaporated_mm,drained_mm");
        foreach (YearWater y in account.Years)
        {
            Line(text, $"{y.Year},{1000 * y.Rain:0.0},{1000 * y.Reference:0.0},{y.Storms},{1000 * y.StormRunoff:0.00},{1000 * y.Excess:0.00},{1000 * y.Gained:0.00},{1000 * y.Used:0.00},{1000 * y.Evaporated:0.00},{1000 * y.Drained:0.00}");
        }
    }

    public static void WriteMembers(Utf8JsonWriter json, YearWorth worth, IReadOnlyList<string> notes)
    {
        YearAccount account = worth.Account;
        JsonText.Section(json, "years", () =>
        {
            json.WriteString("weather", account.Weather.Name);
            json.WriteNumber("first", account.Years[0].Year);
            json.WriteNumber("last", account.Years[^1].Year);
            JsonText.Number(json, "share_of_lines_that_works", account.Options.Works, 4);
            JsonText.Number(json, "field_runoff_of_a_place", account.Options.FieldRunoff, 4);
            JsonText.Number(json, "half_hour_share", account.Options.HalfHourShare, 3);
            JsonText.Number(json, "used_share", account.UsedShare, 3);
            JsonText.Number(json, "balance_error", account.BalanceError, 15);
            JsonText.Number(json, "cost_a_hectare", worth.Cost, 2);
            JsonText.Sections(json, "kinds", worth.Kinds, k =>
            {
                json.WriteString("name", k.Name);
                JsonText.Numbers(json, "years", k.Years.Select(y => (double)y), 0);
                JsonText.Number(json, "rain_mm", 1000 * k.Rain, 1);
                JsonText.Number(json, "storm_runoff_mm", 1000 * k.Runoff, 2);
                JsonText.Number(json, "kept_first_year_mm", 1000 * k.Gained, 2);
            });
            JsonText.Sections(json, "ends", worth.Ends, e =>
            {
                json.WriteString("name", e.Name);
                JsonText.Number(json, "half_life_years", e.HalfLife, 2);
                JsonText.Number(json, "kg_ha_mm", e.Efficiency, 2);
                JsonText.Numbers(json, "kept_mm_by_year", e.Water.Select(w => 1000 * w), 3);
                JsonText.Numbers(json, "used_mm_by_year", e.Used.Select(w => 1000 * w), 3);
                JsonText.Number(json, "forage_first_year_kg_ha", e.First.Kilograms, 2);
                JsonText.Number(json, "forage_kg_ha", e.All.Kilograms, 2);
                JsonText.Number(json, "animal_unit_months_ha", e.All.UnitMonths, 4);
                JsonText.Number(json, "worth_a_hectare", e.All.Money, 2);
                JsonText.Number(json, "repaid_years", e.Repaid ?? double.NaN, 2);
            });
            JsonText.Texts(json, "said", worth.Sentences().Concat(notes));
        });
    }

    private static void Line(TextWriter text, FormattableString line) => text.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
