namespace Keyline.Fieldwork;

/// <summary>The facts about a site that attributes may hold, by their names without a unit.</summary>
internal static class SiteQuantities
{
    public static readonly IReadOnlyDictionary<string, UnitKind> All = new Dictionary<string, UnitKind>
    {
        ["name"] = UnitKind.Word, ["texture"] = UnitKind.Word, ["drainage"] = UnitKind.Word, ["sand"] = UnitKind.Share, ["clay"] = UnitKind.Share,
        ["organic_matter"] = UnitKind.Percent, ["organic_carbon"] = UnitKind.Percent, ["pan"] = UnitKind.Flag, ["pan_depth"] = UnitKind.Length, ["pan_bottom"] = UnitKind.Length,
        ["strength"] = UnitKind.Pressure, ["rock_depth"] = UnitKind.Length, ["esp"] = UnitKind.Percent, ["sar"] = UnitKind.Number, ["emerson_class"] = UnitKind.Number,
        ["salinity"] = UnitKind.Conductivity, ["cover"] = UnitKind.Share, ["slope"] = UnitKind.Share, ["cracking"] = UnitKind.Flag, ["hard_setting"] = UnitKind.Flag,
        ["feeds_seep"] = UnitKind.Flag, ["weeds"] = UnitKind.Flag, ["ksat"] = UnitKind.Rate,
    };

    /// <summary>Their names, for messages.</summary>
    public static string Names { get; } = string.Join(", ", All.Keys);
}
