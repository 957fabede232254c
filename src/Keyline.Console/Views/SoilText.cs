using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Commands;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Report;

namespace Keyline.Console.Views;

/// <summary>What came of keyline soil.</summary>
/// <param name="Result">The zones, with what they were made from.</param>
/// <param name="Written">The files.</param>
internal sealed record SoilView(SoilResult Result, OutputFiles Written) : IView
{
    public void WriteText(UnitText output)
    {
        SoilText.WriteZones(output, Result);
        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        SoilText.WriteJson(json, Result);
        Screen.End(json, ExitCode.Done, Written);
        json.WriteEndObject();
    }
}

/// <summary>Zones and their reasons as text and as JSON.</summary>
internal static class SoilText
{
    private const int MostSaid = 3;

    /// <summary>Everything, for soil.txt.</summary>
    public static void Write(UnitText output, SoilResult result)
    {
        WriteTable(output, result);
        foreach (SoilZone zone in result.Zones)
        {
            output.WriteLine();
            output.WriteLine($"{zone.Number}. {zone.Name}: {zone.Verdict.Words}");
            foreach (RipReason reason in zone.Verdict.Reasons)
            {
                output.WriteLine($"   [{reason.Rule}] {output.Units.Reworded(reason.Sentence)}");
                output.WriteLine($"      Source: {reason.Source}.");
            }

            if (zone.Verdict.Depth is { } depth)
            {
                output.Sentence($"   Depth: {depth.Sentence}");
            }

            if (zone.How.Count > 0)
            {
                output.WriteLine($"   Read here: {string.Join("; ", zone.How)}.");
            }

            if (zone.Verdict.Unknown.Count > 0)
            {
                output.WriteLine($"   Not known: {string.Join("; ", zone.Verdict.Unknown)}.");
            }
        }

        output.WriteLine();
        foreach (string said in Said(result))
        {
            output.Sentence(said);
        }

        output.WriteLine();
        output.WriteLine("Bounds in force (names as in a file for --rules):");
        foreach (RuleSetting s in result.Rules.Settings())
        {
            output.WriteLine($"  {s.Name,-20} {s.Value,-20} {s.What}; {s.Source}");
        }
    }

    /// <summary>The table and the first reasons, for the screen.</summary>
    public static void WriteZones(UnitText output, SoilResult result)
    {
        WriteTable(output, result);
        output.WriteLine();
        foreach (SoilZone zone in result.Zones)
        {
            output.WriteLine($"{zone.Number}. {string.Join(" ", zone.Verdict.Reasons.Take(MostSaid).Select(r => output.Units.Reworded(r.Sentence)))}");
        }

        // Of each map only how good it is; the rest stands in soil.txt.
        output.WriteLine();
        foreach (string said in (string[])[.. result.Maps.Select(m => m.Map.Sentences.FirstOrDefault(s => s.Contains("left out one by one", StringComparison.Ordinal)) ?? m.Map.Sentences[^1]), .. result.Readings?.Said ?? [], .. result.Notes, result.Notice])
        {
            output.Sentence(said);
        }
    }

    /// <summary>The members of soil.json.</summary>
    public static void WriteJson(Utf8JsonWriter json, SoilResult result)
    {
        json.WriteString("crs", result.Crs.Name);
        JsonText.Sections(json, "inputs", result.Inputs, input =>
        {
            json.WriteString("role", input.Role);
            json.WriteString("file", input.File);
            json.WriteString("sha256", input.Sha256);
        });
        JsonText.Sections(json, "zones", result.Zones, zone => WriteZone(json, zone));
        JsonText.Sections(json, "maps", result.Maps, m =>
        {
            json.WriteString("readings", m.Series.Quantity);
            json.WriteNumber("places", m.Map.Places);
            JsonText.Exact(json, "mean", m.Map.Mean);
            JsonText.Exact(json, "least", m.Map.Least);
            JsonText.Exact(json, "greatest", m.Map.Greatest);
            json.WriteBoolean("mapped", m.Map.Map is not null);
            if (m.Map.Fits.Count > 0)
            {
                VariogramModel model = m.Map.Fits[0].Model;
                json.WriteString("variogram", model.Kind.ToString().ToLowerInvariant());
                JsonText.Exact(json, "nugget", model.Nugget);
                JsonText.Exact(json, "sill", model.Sill);
                JsonText.Exact(json, "range_m", model.Range);
            }

            if (m.Map.Errors is { } errors)
            {
                JsonText.Exact(json, "left_out_rms", errors.RootMeanSquare);
                JsonText.Exact(json, "left_out_mean", errors.MeanError);
                JsonText.Exact(json, "explained", errors.Explained);
            }
        });
        JsonText.Sections(json, "rules", result.Rules.Settings(), s =>
        {
            json.WriteString("name", s.Name);
            json.WriteString("value", s.Value);
            json.WriteString("source", s.Source);
        });
        JsonText.Texts(json, "said", Said(result));
    }

    /// <summary>The members of a zone, in soil.json and in zones.geojson.</summary>
    public static void WriteZone(Utf8JsonWriter json, SoilZone zone)
    {
        json.WriteNumber("number", zone.Number);
        json.WriteString("name", zone.Name);
        JsonText.Number(json, "area_ha", zone.Area / 1e4, 3);
        json.WriteString("verdict", zone.Verdict.Word);
        json.WriteString("texture", zone.Facts.Texture is { } texture ? Water.TextureTable.Name(texture) : null);
        json.WriteString("in_words", zone.Verdict.Words);
        json.WriteString("reason", zone.Verdict.Reasons[0].Sentence);
        JsonText.Texts(json, "reasons", zone.Verdict.Reasons.Select(r => $"{r.Rule}: {r.Sentence}"));
        JsonText.Texts(json, "sources", zone.Verdict.Reasons.Select(r => r.Source));
        JsonText.Number(json, "depth_from_cm", 100 * (zone.Verdict.Depth?.Least ?? double.NaN), 1);
        JsonText.Number(json, "depth_to_cm", 100 * (zone.Verdict.Depth?.Most ?? double.NaN), 1);
        JsonText.Texts(json, "read_here", zone.How);
        JsonText.Texts(json, "not_known", zone.Verdict.Unknown);
        json.WriteBoolean("left_out", zone.IsLeftOut);
    }

    private static IEnumerable<string> Said(SoilResult result) => [.. result.Maps.SelectMany(m => m.Map.Sentences), .. result.Readings?.Said ?? [], .. result.Notes, result.Notice];

    private static void WriteTable(UnitText output, SoilResult result)
    {
        output.WriteLine($"{"zone",4} {"land",-38}{output.Symbol(UnitKind.Area),9}  {"depth, " + output.Symbol(UnitKind.SmallLength),-14}verdict");
        foreach (SoilZone zone in result.Zones)
        {
            string depth = zone.Verdict.Depth is { } d ? $"{output.Units.Number(d.Least, UnitKind.SmallLength, "0.#")} to {output.Units.Number(d.Most, UnitKind.SmallLength, "0.#")}" : "-";
            output.WriteLine($"{zone.Number,4} {(zone.Name.Length > 37 ? zone.Name[..36] + "…" : zone.Name),-38}{output.Cell(zone.Area, UnitKind.Area, "0.00", 9)}  {depth,-14}{zone.Verdict.Words}");
        }
    }
}
