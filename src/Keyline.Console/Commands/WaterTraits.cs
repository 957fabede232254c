using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.Water;

namespace Keyline.Console.Commands;

/// <summary>What decides whether a rip lasts: sodium, cracking clay and rock, for the whole field or by polygons with the share that they cover.</summary>
/// <remarks>What an option says holds wherever polygons do not say it themselves.</remarks>
internal sealed class WaterTraits
{
    public static readonly OptionSpec Sodium = new("--esp", ValueKind.Percent, "PERCENT", "exchangeable sodium of the soil, where it was tested (esp_pct of the polygons says it too)");
    public static readonly OptionSpec Cracking = new("--cracking", ValueKind.Switch, "", "the soil is a clay that cracks and swells by itself (cracking of the polygons says it too)");
    public static readonly OptionSpec Rock = new("--rock", ValueKind.Length, "LENGTH", "depth of rock, where it is not deep (rock_depth_cm of the polygons says it too)");

    private readonly List<(double Area, double Sodium, bool Cracking, double Rock)> _parts = [];
    private readonly double _sodium = double.NaN;
    private readonly double _rock = double.NaN;
    private readonly bool _cracking;

    public WaterTraits(Arguments arguments)
    {
        if (arguments[Sodium] is { } sodium)
        {
            _sodium = Quantity.Percent(sodium.Text, sodium.Where) is var percent and >= 0 and <= 100 ? percent
                : throw new UsageException($"{sodium.Where} is {sodium.Text.Trim()}: exchangeable sodium is a share of 0 to 100 %.");
        }

        _cracking = arguments.Has(Cracking);
        _rock = arguments.AtLeastNothing(Rock, double.NaN);
    }

    /// <summary>Takes in what a polygon says of its part of the field.</summary>
    /// <param name="shape">The polygon.</param>
    /// <param name="area">Square metres of the field in it.</param>
    public void Add(AttributedShape shape, double area)
    {
        double sodium = Read("esp_pct", 100, "a share of 0 to 100 %");
        double rock = Read("rock_depth_cm", 100_000, "a depth of 0 to 100000 cm") / 100;
        bool? cracking = Text("cracking").ToLowerInvariant() switch
        {
            "" => null,
            "yes" or "true" or "1" or "y" => true,
            "no" or "false" or "0" or "n" => false,
            _ => throw Wrong("cracking", "yes or no"),
        };
        _parts.Add((area, double.IsNaN(sodium) ? _sodium : sodium, cracking ?? _cracking, double.IsNaN(rock) ? _rock : rock));

        double Read(string name, double most, string what) => Text(name) is not { Length: > 0 } text ? double.NaN
            : double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) && number >= 0 && number <= most ? number : throw Wrong(name, what);

        string Text(string name) => shape.Values.GetValueOrDefault(name, "").Trim();

        UsageException Wrong(string name, string what) => new($"{shape.Where}: {name} is \"{(Text(name).Length > 40 ? Text(name)[..40] : Text(name))}\": it must be {what}, or empty where it is not known.");
    }

    /// <summary>What is known of the field.</summary>
    /// <param name="field">Its area, square metres.</param>
    /// <param name="rip">The rip that is to be made.</param>
    public SoilTraits Of(double field, Rip rip)
    {
        double covered = _parts.Sum(p => p.Area);
        double left = field - covered;
        (double Area, double Sodium, bool Cracking, double Rock)[] all = [.. _parts, .. left > 1e-6 * field ? [(left, _sodium, _cracking, _rock)] : ((double, double, bool, double)[])[]];
        double whole = Math.Max(field, covered);
        double[] sodium = [.. all.Select(p => p.Sodium).Where(double.IsFinite)];
        double[] rock = [.. all.Select(p => p.Rock).Where(double.IsFinite)];
        return new SoilTraits
        {
            ExchangeableSodium = sodium.Length > 0 ? sodium.Max() : double.NaN,
            SodicShare = Share(p => p.Sodium >= WhenNot.SodicFrom),
            IsCracking = all.Any(p => p.Cracking),
            CrackingShare = Share(p => p.Cracking),
            RockDepth = rock.Length > 0 ? rock.Min() : double.NaN,
            RockShare = Share(p => p.Rock < WhenNot.RockInTheWay(rip)),
        };

        double Share(Func<(double Area, double Sodium, bool Cracking, double Rock), bool> counts) => all.Where(counts).Sum(p => p.Area) / whole;
    }
}
