using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Water;

namespace Keyline.Console.Commands;

/// <summary>The storm, the soil and the rips that keyline water is to run, read from its options.</summary>
internal sealed record WaterRequest(Hyetograph Storm, SoilColumn Soil, StormOptions Options)
{
    private const double UsualHalfLife = 1.5;

    /// <summary>The rip before it ages.</summary>
    public Rip Fresh { get; private init; } = new();

    /// <summary>Years in which half of what it adds is gone.</summary>
    public double HalfLife { get; private init; } = UsualHalfLife;

    public static readonly OptionSpec StormText = new("--storm", ValueKind.Word, "STORM", "the rain, as \"40 mm in 1 h\", or a CSV file with minute and mm");
    public static readonly OptionSpec Shape = new("--storm-shape", ValueKind.Word, "SHAPE", "how it falls: type-II (default), type-III, steady or double-exponential");
    public static readonly OptionSpec SoilText = new("--soil", ValueKind.Word, "SOIL", "a texture class as clay-loam, or measured numbers as \"3 mm/h\" or \"3 mm/h, 210 mm, 0.2\" (conductivity, suction, room), or \"CN 79\"");
    public static readonly OptionSpec Moisture = new("--moisture", ValueKind.Percent, "PERCENT", "how full a texture class is as the storm begins (default 50)");
    public static readonly OptionSpec RipDepth = new("--rip-depth", ValueKind.Length, "LENGTH", "depth of the tip (default 40 cm)");
    public static readonly OptionSpec Furrow = new("--furrow", ValueKind.Length, "LENGTH", "depth of the furrow left at the surface (default 5 cm)");
    public static readonly OptionSpec Ridge = new("--ridge", ValueKind.Length, "LENGTH", "height of the ridge below it (default 2 cm)");
    public static readonly OptionSpec Age = new("--age", ValueKind.Number, "YEARS", "years since ripping (default 0: fresh)");
    public static readonly OptionSpec HalfLifeYears = new("--half-life", ValueKind.Number, "YEARS", "years in which half of what a rip adds is gone (default 1.5; 0.5 to 2 grazed and wet, 2 to 5 dry)");
    public static readonly OptionSpec Roughness = new("--roughness", ValueKind.Number, "NUMBER", "Manning's n of the ground (default 0.08)");

    public static IReadOnlyList<OptionSpec> All { get; } = [StormText, Shape, SoilText, Moisture, RipDepth, Furrow, Ridge, Age, HalfLifeYears, Roughness];

    // Where only the conductivity was measured: suction and room of a moist loam, a judgement.
    private const double UsualSuction = 0.2;
    private const double UsualRoom = 0.2;

    public static WaterRequest From(Arguments arguments)
    {
        Hyetograph storm = ReadStorm(arguments);
        Rip usual = new();
        double halfLife = arguments.Above(HalfLifeYears, UsualHalfLife);
        Rip fresh = new()
        {
            Depth = arguments.AtLeastNothing(RipDepth, usual.Depth),
            FurrowDepth = arguments.AtLeastNothing(Furrow, usual.FurrowDepth),
            RidgeHeight = arguments.AtLeastNothing(Ridge, usual.RidgeHeight),
        };
        StormOptions options = new() { Rip = fresh.Aged(arguments.AtLeastNothing(Age, 0), halfLife), Roughness = arguments.Above(Roughness, StormOptions.DefaultRoughness) };
        options.Validate();
        return new WaterRequest(storm, ReadSoil(arguments, storm), options) { Fresh = fresh, HalfLife = halfLife };
    }

    private static Hyetograph ReadStorm(Arguments arguments)
    {
        Setting given = arguments.Need(StormText, "water", "The storm");
        string shape = arguments.Word(Shape, "type-II", "type-III", "steady", "double-exponential");
        if (File.Exists(given.Text))
        {
            using StreamReader reader = new(given.Text);
            return HyetographCsv.Read(reader, Path.GetFileName(given.Text));
        }

        string[] parts = given.Text.Split(" in ", StringSplitOptions.TrimEntries);
        if (parts.Length != 2)
        {
            throw new UsageException($"{given.Where} \"{given.Text.Trim()}\" is neither a file nor a storm: write it as in \"40 mm in 1 h\".");
        }

        double depth = Quantity.Length(parts[0], given.Where);
        double seconds = Seconds(parts[1], given.Where);
        return shape switch
        {
            "steady" => DesignStorms.Steady(depth, seconds),
            "double-exponential" => DesignStorms.DoubleExponential(depth, seconds, 4, 0.3),
            _ => DesignStorms.Nrcs(shape == "type-II" ? StormType.TypeII : StormType.TypeIII, depth, seconds),
        };
    }

    private static double Seconds(string text, string where)
    {
        string unit = new([.. text.SkipWhile(c => !char.IsAsciiLetter(c))]);
        double number = Quantity.Number(text[..^unit.Length].Trim(), where, "\"40 mm in 1 h\"");
        return number * unit switch
        {
            "h" or "hour" or "hours" => 3600,
            "min" or "minutes" => 60,
            _ => throw new UsageException($"{where} has the unknown unit of time \"{unit}\": use h or min, as in \"40 mm in 1 h\"."),
        };
    }

    private static SoilColumn ReadSoil(Arguments arguments, Hyetograph storm)
    {
        Setting given = arguments.Need(SoilText, "water", "The soil");
        string text = given.Text.Trim();
        if (text.StartsWith("CN", StringComparison.OrdinalIgnoreCase))
        {
            return CurveNumber.Soil(Quantity.Number(text[2..].Trim(), given.Where, "\"CN 79\""), storm);
        }

        if (TextureTable.Find(text) is { } texture)
        {
            return TextureTable.Soil(texture, arguments.AtLeastNothing(Moisture, 50) / 100);
        }

        string[] parts = text.Split(',', StringSplitOptions.TrimEntries);
        if (parts.Length is not (1 or 3) || !parts[0].EndsWith("mm/h", StringComparison.Ordinal))
        {
            string classes = string.Join(", ", Enum.GetValues<SoilTexture>().Select(t => TextureTable.Name(t).Replace(' ', '-')));
            throw new UsageException($"{given.Where} \"{text}\" is no soil: write a texture class ({classes}), a conductivity as \"3 mm/h\", or a curve number as \"CN 79\".");
        }

        double conductivity = Quantity.Number(parts[0][..^4].Trim(), given.Where, "\"3 mm/h\"") / 3.6e6;
        double suction = parts.Length == 3 ? Quantity.Length(parts[1], given.Where) : UsualSuction;
        double room = parts.Length == 3 ? Quantity.Number(parts[2], given.Where, "\"3 mm/h, 210 mm, 0.2\"") : UsualRoom;
        return SoilColumn.Uniform(string.Create(CultureInfo.InvariantCulture, $"{conductivity * 3.6e6:0.##} mm/h as measured"), conductivity, suction, room);
    }
}
