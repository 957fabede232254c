using Keyline.Water;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork;

/// <summary>The texture class of sand and clay, and the other way round.</summary>
/// <remarks>
/// <para>Units: shares of the mineral weight. Silt of the twelfth class, "silt", counts as silt loam, for which there are figures.</para>
/// <para>Cost: none. Source: United States Department of Agriculture, Soil Survey Manual, Handbook 18, chapter 3, texture classes.</para>
/// </remarks>
public static class TextureTriangle
{
    // The longest names first, so that "sandy clay loam" is not taken for "clay loam".
    private static readonly (string Word, TextureClass Class)[] Words =
    [
        .. Enum.GetValues<TextureClass>().Select(t => (TextureTable.Name(t), t)).OrderByDescending(t => t.Item1.Length).ThenBy(t => t.Item1, StringComparer.Ordinal), ("silt", TextureClass.SiltLoam),
    ];

    private static readonly Dictionary<string, TextureClass> Codes = new(StringComparer.OrdinalIgnoreCase)
    {
        ["s"] = TextureClass.Sand, ["ls"] = TextureClass.LoamySand, ["sl"] = TextureClass.SandyLoam, ["l"] = TextureClass.Loam, ["sil"] = TextureClass.SiltLoam, ["si"] = TextureClass.SiltLoam,
        ["scl"] = TextureClass.SandyClayLoam, ["cl"] = TextureClass.ClayLoam, ["sicl"] = TextureClass.SiltyClayLoam, ["sc"] = TextureClass.SandyClay, ["sic"] = TextureClass.SiltyClay, ["c"] = TextureClass.Clay,
    };

    /// <summary>The class of sand and clay.</summary>
    /// <param name="sand">Share, 0 to 1.</param>
    /// <param name="clay">Share, 0 to 1.</param>
    /// <exception cref="GroundDataException">Shares that do not add up.</exception>
    public static TextureClass ClassOf(double sand, double clay)
    {
        if (!(sand is >= 0 and <= 1) || !(clay is >= 0 and <= 1) || sand + clay > 1 + 1e-9)
        {
            throw new GroundDataException(FormattableString.Invariant($"Sand of {100 * sand:0.#} % and clay of {100 * clay:0.#} % do not add up: they are shares of the mineral part, together 100 % at most."));
        }

        (double s, double c) = (100 * sand, 100 * clay);
        double si = Math.Max(0, 100 - s - c);
        return si + (1.5 * c) < 15 ? TextureClass.Sand
            : si + (2 * c) < 30 ? TextureClass.LoamySand
            : (c >= 7 && c < 20 && s > 52) || (c < 7 && si < 50) ? TextureClass.SandyLoam
            : c >= 7 && c < 27 && si >= 28 && si < 50 && s <= 52 ? TextureClass.Loam
            : c < 27 && si >= 50 ? TextureClass.SiltLoam
            : c >= 20 && c < 35 && si < 28 && s > 45 ? TextureClass.SandyClayLoam
            : c >= 27 && c < 40 && s > 20 && s <= 45 ? TextureClass.ClayLoam
            : c >= 27 && c < 40 && s <= 20 ? TextureClass.SiltyClayLoam
            : c >= 35 && s > 45 ? TextureClass.SandyClay
            : c >= 40 && si >= 40 ? TextureClass.SiltyClay
            : TextureClass.Clay;
    }

    /// <summary>The class of a name or a survey's code, as "fine sandy loam" or "SiCL"; null where there is none.</summary>
    /// <param name="text">The name.</param>
    public static TextureClass? Find(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        string plain = text.Trim().Replace('-', ' ').Replace('_', ' ').ToLowerInvariant();
        if (Codes.TryGetValue(plain, out TextureClass code))
        {
            return code;
        }

        foreach ((string word, TextureClass texture) in Words)
        {
            if (plain == word || plain.EndsWith(" " + word, StringComparison.Ordinal))
            {
                return texture;
            }
        }

        return null;
    }

    /// <summary>The class of a site, from sand and clay where it was not named; null where neither is known.</summary>
    internal static TextureClass? Of(SiteFacts f) => f.Texture ?? (double.IsNaN(f.Sand) || double.IsNaN(f.Clay) ? null : ClassOf(f.Sand, f.Clay));

    /// <summary>Clay in the middle of a class, share: of the ten classes of Saxton and Rawls 2006, table 3, and 42 % for sandy clay.</summary>
    /// <param name="texture">The class.</param>
    internal static double MiddleClay(TextureClass texture) => texture switch
    {
        TextureClass.Sand or TextureClass.LoamySand => 0.05,
        TextureClass.SandyLoam => 0.10,
        TextureClass.Loam => 0.20,
        TextureClass.SiltLoam => 0.15,
        TextureClass.SandyClayLoam => 0.25,
        TextureClass.ClayLoam or TextureClass.SiltyClayLoam => 0.35,
        TextureClass.SandyClay => 0.42,
        TextureClass.SiltyClay => 0.45,
        _ => 0.50,
    };
}
