namespace Keyline.Fieldwork;

/// <summary>Units as they end the names of columns and attributes: "pan_depth_cm".</summary>
/// <remarks>Source: SI and NIST Special Publication 811, 2008, appendix B.8, for the factors.</remarks>
internal static class UnitName
{
    /// <summary>Pascals in a pound-force a square inch.</summary>
    public const double Psi = 6894.757293168361;

    private static readonly Dictionary<UnitKind, (string Ending, double Factor)[]> Endings = new()
    {
        [UnitKind.Length] = [("_mm", 0.001), ("_cm", 0.01), ("_m", 1), ("_in", 0.0254), ("_ft", 0.3048)],
        [UnitKind.Share] = [("_pct", 0.01), ("_g_kg", 0.001)],
        [UnitKind.Percent] = [("_pct", 1), ("_g_kg", 0.1)],
        [UnitKind.Pressure] = [("_kpa", 1e3), ("_mpa", 1e6), ("_psi", Psi), ("_bar", 1e5)],
        [UnitKind.Rate] = [("_mm_h", 1 / 3.6e6), ("_cm_h", 1 / 3.6e5), ("_in_h", 0.0254 / 3600), ("_um_s", 1e-6)],
        [UnitKind.Conductivity] = [("_ds_m", 1), ("_ms_m", 0.01), ("_ms_cm", 1)],
        [UnitKind.Celsius] = [("_c", 1)],
        [UnitKind.Minutes] = [("_min", 1), ("_h", 60), ("_s", 1.0 / 60)],
    };

    /// <summary>What a name says: the quantity and its factor to the unit used inside. A plain quantity has the factor 1.</summary>
    /// <param name="name">As written, in any case.</param>
    /// <param name="quantities">The quantities known, with their kinds.</param>
    /// <returns>Null where it is none of them; a factor that is NaN where the unit is missing.</returns>
    public static (string Quantity, double Factor)? Read(string name, IReadOnlyDictionary<string, UnitKind> quantities)
    {
        string plain = name.Trim().ToLowerInvariant().Replace(' ', '_').Replace('-', '_');
        foreach ((string quantity, UnitKind kind) in quantities)
        {
            if (plain == quantity)
            {
                return (quantity, kind is UnitKind.Word or UnitKind.Number or UnitKind.Flag ? 1 : double.NaN);
            }

            if (plain.StartsWith(quantity, StringComparison.Ordinal) && Endings.TryGetValue(kind, out (string Ending, double Factor)[]? endings))
            {
                foreach ((string ending, double factor) in endings)
                {
                    if (plain.AsSpan(quantity.Length).SequenceEqual(ending))
                    {
                        return (quantity, factor);
                    }
                }
            }
        }

        return null;
    }

    /// <summary>The endings of a kind, for messages.</summary>
    public static string Names(UnitKind kind) => string.Join(", ", Endings[kind].Select(e => e.Ending));
}

/// <summary>What a value is.</summary>
internal enum UnitKind
{
    Word,
    Number,
    Flag,
    Length,
    Share,
    Percent,
    Pressure,
    Rate,
    Conductivity,
    Celsius,
    Minutes,
}
