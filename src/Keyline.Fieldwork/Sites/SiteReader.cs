using System.Globalization;
using NetTopologySuite.Geometries;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork;

/// <summary>Reads what attributes say of sites.</summary>
/// <remarks>
/// <para>Units: in the names, as <see cref="SiteFields"/> has it; SI inside. Promises: an attribute that is a fact's name without its unit is
/// refused, and so is a value that cannot be; what is not a fact is left aside and named once.</para>
/// <para>Cost: one look at each value. Source: exchangeable sodium from the sodium adsorption ratio by L. A. Richards (ed.), USDA Handbook 60,
/// 1954, equation of chapter 2; organic matter as 1.724 times organic carbon, an old convention.</para>
/// </remarks>
public static class SiteReader
{
    private const double OrganicMatterOfCarbon = 1.724;

    /// <summary>Reads sites.</summary>
    /// <param name="records">Shapes with their attributes; only areas are taken.</param>
    /// <param name="fields">Where the facts stand; null for their own names.</param>
    /// <param name="notes">Takes what there is to say.</param>
    /// <exception cref="GroundDataException">No area, or a value that cannot be.</exception>
    public static IReadOnlyList<SoilSite> Read(IEnumerable<SiteRecord> records, SiteFields? fields, ICollection<string> notes)
    {
        ArgumentNullException.ThrowIfNull(records);
        ArgumentNullException.ThrowIfNull(notes);
        fields ??= SiteFields.Plain;
        List<SoilSite> sites = [];
        SortedSet<string> aside = new(StringComparer.Ordinal);
        int number = 0, flat = 0;
        foreach (SiteRecord record in records)
        {
            number++;
            if (record.Shape.Dimension != Dimension.Surface || record.Shape.IsEmpty)
            {
                flat++;
                continue;
            }

            (SiteFacts facts, string name) = Facts(record, fields, aside);
            sites.Add(new SoilSite(name.Length > 0 ? name : FormattableString.Invariant($"site {number}"), record.Shape, facts));
        }

        if (sites.Count == 0)
        {
            throw new GroundDataException("There is no area among the sites: draw each as a Polygon.");
        }

        if (flat > 0)
        {
            notes.Add(FormattableString.Invariant($"{flat} of the sites' features are no areas and were left aside."));
        }

        if (aside.Count > 0)
        {
            notes.Add($"Attributes of the sites that are no facts here: {string.Join(", ", aside.Take(20))}{(aside.Count > 20 ? " and more" : "")}.");
        }

        return sites;
    }

    private static (SiteFacts Facts, string Name) Facts(SiteRecord record, SiteFields fields, SortedSet<string> aside)
    {
        Dictionary<string, (string Text, double Factor, string Attribute)> found = [];
        HashSet<string> used = new(StringComparer.OrdinalIgnoreCase);
        foreach ((string fact, string attribute, Dictionary<string, string> codes) in fields.Fields)
        {
            (string Key, string Value) at = record.Values.Where(v => v.Key.Equals(attribute, StringComparison.OrdinalIgnoreCase)).Select(v => (v.Key, v.Value.Trim())).FirstOrDefault();
            if (at.Key is not null && used.Add(at.Key) && at.Value.Length > 0)
            {
                (string quantity, double factor) = UnitName.Read(fact, SiteQuantities.All)!.Value;
                found.TryAdd(quantity, (codes.Count > 0 ? codes.GetValueOrDefault(at.Value, at.Value) : at.Value, factor, at.Key));
            }
        }

        foreach ((string name, string value) in record.Values.OrderBy(v => v.Key, StringComparer.Ordinal))
        {
            if (used.Contains(name))
            {
                continue;
            }

            if (UnitName.Read(name, SiteQuantities.All) is not { } known)
            {
                aside.Add(name);
            }
            else if (value.Trim().Length > 0)
            {
                if (double.IsNaN(known.Factor))
                {
                    throw new GroundDataException($"{record.Where}: \"{name}\" does not say its unit; end it with one of {UnitName.Names(SiteQuantities.All[known.Quantity])}.");
                }

                found.TryAdd(known.Quantity, (value.Trim(), known.Factor, name));
            }
        }

        Values v = new(found, record.Where);
        double sodium = v.Number("esp", 0, 100), ratio = v.Number("sar", 0, 1000), share = -0.0126 + (0.01475 * ratio), carbon = v.Number("organic_carbon", 0, 60), emerson = v.Number("emerson_class", 1, 8);
        double matter = v.Number("organic_matter", 0, 100);
        SiteFacts facts = new()
        {
            Texture = v.Word("texture", TextureTriangle.Find, "a texture class, as silt loam"),
            Drainage = v.Word("drainage", FindDrainage, "a class of drainage, as poor, moderately well, well"),
            Sand = v.Number("sand", 0, 1),
            Clay = v.Number("clay", 0, 1),
            OrganicMatter = double.IsNaN(matter) ? OrganicMatterOfCarbon * carbon : matter,
            HasPan = v.Flag("pan"),
            PanTop = v.Number("pan_depth", 0, 5),
            PanBottom = v.Number("pan_bottom", 0, 5),
            Strength = v.Number("strength", 0, 5e7),
            RockDepth = v.Number("rock_depth", 0, 1000),
            ExchangeableSodium = double.IsNaN(sodium) ? Math.Max(0, 100 * share / (1 + share)) : sodium,
            EmersonClass = double.IsNaN(emerson) ? null : emerson == Math.Floor(emerson) ? (int)emerson : throw v.Wrong("emerson_class", "a class from 1 to 8"),
            Salinity = v.Number("salinity", 0, 300),
            Cover = v.Number("cover", 0, 1),
            Slope = v.Number("slope", 0, 5),
            IsCracking = v.Flag("cracking"),
            IsHardSetting = v.Flag("hard_setting"),
            FeedsSeep = v.Flag("feeds_seep"),
            HasWeeds = v.Flag("weeds"),
            Conductivity = v.Number("ksat", 0, 0.01),
        };
        if (facts.Sand + facts.Clay > 1 + 1e-9)
        {
            throw new GroundDataException(FormattableString.Invariant($"{record.Where}: sand of {100 * facts.Sand:0.#} % and clay of {100 * facts.Clay:0.#} % are more than the whole; mend them."));
        }

        if (facts.PanBottom < facts.PanTop)
        {
            throw new GroundDataException(FormattableString.Invariant($"{record.Where}: the pan ends at {100 * facts.PanBottom:0} cm, above its beginning at {100 * facts.PanTop:0}; mend them."));
        }

        if (facts.HasPan == false && !double.IsNaN(facts.PanTop))
        {
            throw new GroundDataException($"{record.Where}: it says that there is no pan, and gives its depth; mend one of them.");
        }

        return (facts with { HasPan = facts.HasPan ?? (double.IsNaN(facts.PanTop) && double.IsNaN(facts.PanBottom) ? null : true) }, found.TryGetValue("name", out (string Text, double, string) called) ? called.Text : "");
    }

    /// <summary>The class of drainage that a survey's words mean; null where they mean none.</summary>
    /// <param name="text">As "Somewhat poorly drained".</param>
    public static SoilDrainage? FindDrainage(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        string plain = text.Trim().Replace('-', ' ').Replace('_', ' ').ToLowerInvariant();
        bool Has(string word) => plain.Contains(word, StringComparison.Ordinal);
        return Has("imperfect") || Has("somewhat poor") ? SoilDrainage.SomewhatPoor
            : Has("very poor") ? SoilDrainage.VeryPoor
            : Has("poor") ? SoilDrainage.Poor
            : Has("somewhat excess") ? SoilDrainage.SomewhatExcessive
            : Has("excess") ? SoilDrainage.Excessive
            : Has("moderate") ? SoilDrainage.ModeratelyWell
            : plain is "well" or "well drained" ? SoilDrainage.Well
            : null;
    }

    private sealed class Values(Dictionary<string, (string Text, double Factor, string Attribute)> found, string where)
    {
        public double Number(string quantity, double least, double most)
        {
            if (!found.TryGetValue(quantity, out (string Text, double Factor, string Attribute) at))
            {
                return double.NaN;
            }

            return double.TryParse(at.Text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && value * at.Factor >= least && value * at.Factor <= most ? value * at.Factor
                : throw Wrong(quantity, FormattableString.Invariant($"a number from {least / at.Factor:0.###} to {most / at.Factor:0.###}"));
        }

        public bool? Flag(string quantity) => !found.TryGetValue(quantity, out (string Text, double, string) at) ? null : at.Text.ToLowerInvariant() switch
        {
            "yes" or "true" or "1" or "y" => true,
            "no" or "false" or "0" or "n" => false,
            _ => throw Wrong(quantity, "yes or no"),
        };

        public T? Word<T>(string quantity, Func<string, T?> find, string what)
            where T : struct => !found.TryGetValue(quantity, out (string Text, double, string) at) ? null : find(at.Text) ?? throw Wrong(quantity, what);

        public GroundDataException Wrong(string quantity, string what) => new($"{where}: {found[quantity].Attribute} is \"{(found[quantity].Text.Length > 40 ? found[quantity].Text[..40] : found[quantity].Text)}\": it must be {what}.");
    }
}
