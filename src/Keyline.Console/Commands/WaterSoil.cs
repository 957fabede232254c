using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>The soil that keyline water is to run on: one, or polygons by an attribute.</summary>
internal sealed class WaterSoil
{
    public static readonly OptionSpec Text = new("--soil", ValueKind.Word, "SOIL", "a texture class as clay-loam, or \"sand 30, clay 25, organic 2\" in percent, or measured numbers as \"3 mm/h\" or \"3 mm/h, 210 mm, 0.2\" (conductivity, suction, room), or \"CN 79\", or one over another as \"loam over clay at 30 cm\", or a file of polygons");
    private static readonly OptionSpec By = new("--soil-by", ValueKind.Word, "NAME", "attribute of the polygons that says their soil (default texture)");
    private static readonly OptionSpec As = new("--soil-as", ValueKind.Word, "NAMES", "what values of that attribute mean, as \"12A = clay-loam; 7 = 3 mm/h\"");
    private static readonly OptionSpec Elsewhere = new("--soil-elsewhere", ValueKind.Word, "SOIL", "the soil outside all polygons (default: the one with most of the field)");
    private static readonly OptionSpec Moisture = new("--moisture", ValueKind.Percent, "PERCENT", "how full a texture class or a soil of sand and clay is as the storm begins (default 50)");
    // Where only the conductivity was measured: suction and room of a moist loam, a judgement.
    private const double UsualSuction = 0.2;
    private const double UsualRoom = 0.2;

    private static readonly string[] Parts = ["sand", "clay", "organic"];

    private readonly double _moisture;
    private readonly string _word;
    private readonly string _where;
    private readonly AttributedFile? _file;
    private readonly string _by;
    private readonly Dictionary<string, string> _means;
    private readonly List<(Geometry Area, string Word, string Where)> _areas = [];
    private string _elsewhere = "";

    private WaterSoil(Arguments arguments, AttributedFile? file, Dictionary<string, string> means)
    {
        Setting given = arguments.Need(Text, "water", "The soil");
        (_word, _where) = file is null ? (given.Text.Trim(), given.Where) : (arguments[Elsewhere]?.Text.Trim() ?? "", arguments[Elsewhere]?.Where ?? given.Where);
        _moisture = arguments.AtLeastNothing(Moisture, 50) / 100;
        (_file, _by, _means) = (file, arguments[By]?.Text.Trim() ?? "texture", means);
        Main = _word;
        Traits = new WaterTraits(arguments);
    }

    public static IReadOnlyList<OptionSpec> All { get; } = [Text, By, As, Elsewhere, Moisture, WaterTraits.Sodium, WaterTraits.Cracking, WaterTraits.Rock];

    /// <summary>The word for the soil that stands for the field where one must: the only one, or that of most of the field.</summary>
    public string Main { get; private set; }

    /// <summary>What speaks for or against loosening it.</summary>
    public WaterTraits Traits { get; }

    /// <summary>What there is to say of polygons.</summary>
    public string? Said { get; private set; }

    /// <summary>Whether it is told by polygons.</summary>
    public bool IsMapped => _file is not null;

    /// <summary>Reads the options, and the file of polygons where one is given.</summary>
    /// <param name="arguments">The options.</param>
    /// <param name="storm">A storm, for soils known by their curve number.</param>
    public static WaterSoil From(Arguments arguments, Hyetograph storm)
    {
        Setting given = arguments.Need(Text, "water", "The soil");
        bool isFile = File.Exists(given.Text);
        foreach (OptionSpec option in (OptionSpec[])[By, As, Elsewhere])
        {
            if (!isFile && arguments[option] is { } needless)
            {
                throw new UsageException($"{needless.Where} is for soils by polygons: give {Text.Flag} a file of them, or leave it out.");
            }
        }

        WaterSoil soil = new(arguments, isFile ? FieldFiles.ReadAttributed(given.Text, "soils") : null, Meanings(arguments[As]));
        _ = soil._word.Length > 0 ? soil.Column(soil._word, soil._where, storm) : null;
        return soil;
    }

    /// <summary>Places the polygons; without any nothing happens.</summary>
    /// <param name="crs">The ground's system.</param>
    /// <param name="field">The field, on it.</param>
    /// <param name="storm">A storm, for soils known by their curve number.</param>
    public void Place(GroundCrs crs, Geometry field, Hyetograph storm)
    {
        if (_file is null)
        {
            return;
        }

        Dictionary<string, double> share = new(StringComparer.Ordinal);
        double covered = 0;
        foreach (AttributedShape shape in _file.On(crs).Where(s => s.Shape.Dimension == Dimension.Surface))
        {
            if (!shape.Values.TryGetValue(_by, out string? value) || value.Trim().Length == 0)
            {
                throw new UsageException($"{shape.Where} has no attribute {_by}: name the one that says the soil with {By.Flag} (it has {string.Join(", ", shape.Values.Keys.Order(StringComparer.Ordinal))}).");
            }

            string word = _means.GetValueOrDefault(value.Trim(), value.Trim());
            _ = Column(word, $"{shape.Where}: {_by}", storm);
            _areas.Add((shape.Shape, word, shape.Where));
            double inside = field.Intersection(shape.Shape).Area;
            if (inside > 0)
            {
                share[word] = share.GetValueOrDefault(word) + inside;
                covered += inside;
            }

            Traits.Add(shape, inside);
        }

        if (share.Count == 0)
        {
            throw new UsageException($"{_file.Name}: none of its polygons lies on the field: check that both are of the same place.");
        }

        KeyValuePair<string, double>[] most = [.. share.OrderByDescending(s => s.Value).ThenBy(s => s.Key, StringComparer.Ordinal)];
        Main = most[0].Key;
        _elsewhere = _word.Length > 0 ? _word : Main;
        double left = Math.Max(field.Area - covered, 0);
        Said = string.Create(CultureInfo.InvariantCulture, $"Soils by {_by} of {_file.Name}: {string.Join(", ", most.Select(s => string.Create(CultureInfo.InvariantCulture, $"{s.Key} {s.Value / 1e4:0.0} ha")))}; outside the polygons ({left / 1e4:0.0} ha of the field) {_elsewhere} is taken. Where one soil must stand for all, as in the longest lines and the years, it is {Main}.");
    }

    /// <summary>What freshly loosened soil stands of running water: by the texture on top, of polygons the most erodible; silt loam where no texture is told.</summary>
    public FreshSoil Stands => (_areas.Count > 0 ? _areas.Select(a => a.Word) : [Main])
        .Select(word => FreshSoil.Of(TextureTable.Find(word.Split(" over ")[0].Trim()) ?? SoilTexture.SiltLoam)).MinBy(s => s.Shear)!;

    /// <summary>The soil that stands for the field.</summary>
    /// <param name="storm">The storm.</param>
    public SoilColumn For(Hyetograph storm) => Column(Main, _where, storm);

    /// <summary>The soils of a ground's cells.</summary>
    public SoilMap On(GridFrame frame, Hyetograph storm) => _file is null
        ? SoilMap.Uniform(For(storm))
        : SoilMap.Of(frame, Column(_elsewhere, _where, storm), [.. _areas.Select(a => (a.Area, Column(a.Word, a.Where, storm)))]);

    private SoilColumn Column(string text, string where, Hyetograph storm)
    {
        if (text.StartsWith("CN", StringComparison.OrdinalIgnoreCase))
        {
            return CurveNumber.Soil(Quantity.Number(text[2..].Trim(), where, "\"CN 79\""), storm);
        }

        if (text.Split(" over ", 2, StringSplitOptions.TrimEntries) is [string upper, string lower])
        {
            return lower.LastIndexOf(" at ", StringComparison.Ordinal) is int at and > 0
                ? Column(upper, where, storm).Over(Column(lower[..at].Trim(), where, storm), Quantity.Length(lower[(at + 4)..], where))
                : throw new UsageException($"{where} \"{text}\" does not say where its lower soil begins: write it as in \"loam over clay at 30 cm\".");
        }

        if (text.StartsWith("sand ", StringComparison.OrdinalIgnoreCase) && text.Contains(',', StringComparison.Ordinal))
        {
            return Measured(text, where);
        }

        if (TextureTable.Find(text) is { } texture)
        {
            return TextureTable.Soil(texture, _moisture);
        }

        string[] parts = text.Split(',', StringSplitOptions.TrimEntries);
        if (parts.Length is not (1 or 3) || !parts[0].EndsWith("mm/h", StringComparison.Ordinal))
        {
            string classes = string.Join(", ", Enum.GetValues<SoilTexture>().Select(t => TextureTable.Name(t).Replace(' ', '-')));
            throw new UsageException($"{where} \"{text}\" is no soil{(_file is null ? " and no file" : "")}: write a texture class ({classes}), its parts as \"sand 30, clay 25, organic 2\", a conductivity as \"3 mm/h\", or a curve number as \"CN 79\"{(_file is null ? "" : $"; {As.Flag} says what other names mean")}.");
        }

        double conductivity = Quantity.Number(parts[0][..^4].Trim(), where, "\"3 mm/h\"") / 3.6e6;
        double suction = parts.Length == 3 ? Quantity.Length(parts[1], where) : UsualSuction;
        double room = parts.Length == 3 ? Quantity.Number(parts[2], where, "\"3 mm/h, 210 mm, 0.2\"") : UsualRoom;
        return SoilColumn.Uniform(string.Create(CultureInfo.InvariantCulture, $"{conductivity * 3.6e6:0.##} mm/h as measured"), conductivity, suction, room);
    }

    private SoilColumn Measured(string text, string where)
    {
        Dictionary<string, double> percent = new(StringComparer.OrdinalIgnoreCase);
        foreach (string part in text.Split(',', StringSplitOptions.TrimEntries))
        {
            string[] words = part.Split(' ', 2, StringSplitOptions.TrimEntries);
            if (words is not [string name, string number] || !Parts.Contains(name, StringComparer.OrdinalIgnoreCase) || !percent.TryAdd(name, Quantity.Percent(number, where)))
            {
                throw new UsageException($"{where} \"{text}\" does not say what the soil is made of: write it as in \"sand 30, clay 25, organic 2\", each once and in percent.");
            }
        }

        return percent.Count == Parts.Length ? SaxtonRawls.Soil(percent["sand"] / 100, percent["clay"] / 100, percent["organic"], _moisture)
            : throw new UsageException($"{where} \"{text}\" lacks a part: sand, clay and organic matter are needed, as in \"sand 30, clay 25, organic 2\".");
    }

    private static Dictionary<string, string> Meanings(Setting? given)
    {
        Dictionary<string, string> means = new(StringComparer.OrdinalIgnoreCase);
        foreach (string part in given?.Text.Split(';', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries) ?? [])
        {
            string[] sides = part.Split('=', StringSplitOptions.TrimEntries);
            if (sides.Length != 2 || sides[0].Length == 0 || sides[1].Length == 0 || !means.TryAdd(sides[0], sides[1]))
            {
                throw new UsageException($"{given!.Where} \"{part}\" is no meaning: write each value once, as in \"12A = clay-loam; 7 = 3 mm/h\".");
            }
        }

        return means;
    }
}
