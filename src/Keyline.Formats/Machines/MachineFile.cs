using System.Text.Json;
using Keyline.Field;

namespace Keyline.Formats;

/// <summary>Reads the profile of a machine: a tractor with its implement.</summary>
/// <remarks>
/// <para>Units: quantities carry theirs ("90 kW", "0.7 m", "4.5 km/h"); angles are degrees, rates are shares. Missing: what the file
/// leaves out has the default of <see cref="Machine"/>.</para>
/// <para>Promises: an unknown key, a quantity without its unit and a machine that is not possible are refused, each with one
/// sentence. The keys are described in docs/work.md and in docs/keyline-machine.schema.json.</para>
/// <para>Cost: that of reading the text. Source: RFC 8259 (2017) for the text; the keys are ours.</para>
/// </remarks>
public static class MachineFile
{
    private const int MostBytes = 1_000_000;

    /// <summary>Reads a profile.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="GroundDataException">It is absent, is no such profile, or the machine is not possible.</exception>
    public static Machine Read(string path) => NamedFile.Read(path, Read);

    /// <summary>Reads a profile from a stream.</summary>
    /// <param name="stream">JSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It is no such profile, or the machine is not possible.</exception>
    public static Machine Read(Stream stream, string name)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(name);
        byte[] head = new byte[MostBytes + 1];
        int length = stream.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
        if (length > MostBytes)
        {
            throw new GroundDataException($"{name}: it is larger than a machine's profile can be; give the JSON file of the machine.");
        }

        try
        {
            ReadOnlyMemory<byte> text = head.AsMemory(0, length);
            using JsonDocument document = JsonDocument.Parse(text.Span.StartsWith("\uFEFF"u8) ? text[3..] : text, new JsonDocumentOptions { AllowDuplicateProperties = false, MaxDepth = 8 });
            Machine machine = From(new JsonMembers(document.RootElement, "", name, "name", "tractor", "implement", "speed", "max_side_slope", "prices"));
            machine.Validate();
            return machine;
        }
        catch (JsonException e)
        {
            string place = e.LineNumber is long line ? FormattableString.Invariant($" at line {line + 1}") : "";
            throw new GroundDataException($"{name} is not valid JSON{place}: mend it there (keyline schema machine prints what a machine's file may hold).", e);
        }
        catch (InvalidOperationException e)
        {
            // Half a letter in a text, which is found when the text is asked for.
            throw new GroundDataException($"{name} holds a text that is not UTF-8: save the file as UTF-8.", e);
        }
        catch (ArgumentException e)
        {
            throw new GroundDataException($"{name}: {e.Message}", e);
        }
    }

    private static Machine From(JsonMembers all)
    {
        Tractor usualTractor = new() { Power = 0 };
        Implement usual = new() { Shanks = 1, ShankSpacing = 1, Depth = 1 };
        Machine usualMachine = new() { Tractor = usualTractor, Implement = usual };
        JsonMembers tractor = all.Need("tractor", "power", "power_at", "drive", "mass", "width", "front_length", "hitch_length");
        JsonMembers tool = all.Need("implement", "hitch", "shanks", "shank_spacing", "depth", "tip", "tip_width", "hitch_to_shank", "length", "width", "transport_width", "radius_in_ground", "radius_lifted", "lift_time");
        JsonMembers? speed = all.Object("speed", "slowest", "fastest", "turning", "reversing");
        int shanks = tool.Whole("shanks");
        return new Machine
        {
            Name = all.Text("name"),
            Tractor = new Tractor
            {
                Power = tractor.Quantity("power", QuantityText.Power),
                PowerMeasure = tractor.Word("power_at", usualTractor.PowerMeasure, ("engine", PowerMeasure.Engine), ("pto", PowerMeasure.PowerTakeOff), ("drawbar", PowerMeasure.Drawbar)),
                Drive = tractor.Word("drive", usualTractor.Drive, ("two-wheel", DriveClass.TwoWheel), ("front-assist", DriveClass.FrontAssist), ("four-wheel", DriveClass.FourWheel), ("track", DriveClass.Track)),
                Mass = tractor.Quantity("mass", QuantityText.Mass, double.NaN),
                Width = tractor.Quantity("width", QuantityText.Length, usualTractor.Width),
                FrontLength = tractor.Quantity("front_length", QuantityText.Length, usualTractor.FrontLength),
                HitchLength = tractor.Quantity("hitch_length", QuantityText.Length, usualTractor.HitchLength),
            },
            Implement = new Implement
            {
                Hitch = tool.Word("hitch", usual.Hitch, ("mounted", HitchKind.Mounted), ("trailed", HitchKind.Trailed)),
                Shanks = shanks,
                ShankSpacing = shanks == 1 ? tool.Quantity("shank_spacing", QuantityText.Length, 1) : tool.Quantity("shank_spacing", QuantityText.Length),
                Depth = tool.Quantity("depth", QuantityText.Length),
                Tip = tool.Word("tip", usual.Tip, ("narrow", TipKind.Narrow), ("winged", TipKind.Winged)),
                TipWidth = tool.Quantity("tip_width", QuantityText.Length, usual.TipWidth),
                HitchToShank = tool.Quantity("hitch_to_shank", QuantityText.Length, usual.HitchToShank),
                Length = tool.Quantity("length", QuantityText.Length, usual.Length),
                Width = tool.Quantity("width", QuantityText.Length, usual.Width),
                TransportWidth = tool.Quantity("transport_width", QuantityText.Length, usual.TransportWidth),
                RadiusInGround = tool.Quantity("radius_in_ground", QuantityText.Length, usual.RadiusInGround),
                RadiusLifted = tool.Quantity("radius_lifted", QuantityText.Length, usual.RadiusLifted),
                LiftTime = tool.Quantity("lift_time", QuantityText.Time, usual.LiftTime),
            },
            SlowestSpeed = speed?.Quantity("slowest", QuantityText.Speed, usualMachine.SlowestSpeed) ?? usualMachine.SlowestSpeed,
            FastestSpeed = speed?.Quantity("fastest", QuantityText.Speed, usualMachine.FastestSpeed) ?? usualMachine.FastestSpeed,
            TurningSpeed = speed?.Quantity("turning", QuantityText.Speed, usualMachine.TurningSpeed) ?? usualMachine.TurningSpeed,
            ReversingSpeed = speed?.Quantity("reversing", QuantityText.Speed, usualMachine.ReversingSpeed) ?? usualMachine.ReversingSpeed,
            MaximumSideSlope = all.Number("max_side_slope", usualMachine.MaximumSideSlope),
            Prices = all.Object("prices", "currency", "tractor", "tractor_hours", "tractor_years", "implement", "implement_hours", "implement_years", "interest", "taxes_insurance_housing", "fuel", "oil_share", "wage", "labour_factor", "custom_rate") is { } prices ? PricesFrom(prices) : null,
        };
    }

    private static MachinePrices PricesFrom(JsonMembers prices)
    {
        MachinePrices usual = new() { TractorPrice = 0, ImplementPrice = 0, FuelPrice = 0, Wage = 0 };
        return new MachinePrices
        {
            Currency = prices.Text("currency", usual.Currency),
            TractorPrice = prices.Number("tractor"),
            TractorHours = prices.Number("tractor_hours", usual.TractorHours),
            TractorYears = prices.Number("tractor_years", usual.TractorYears),
            ImplementPrice = prices.Number("implement"),
            ImplementHours = prices.Number("implement_hours", usual.ImplementHours),
            ImplementYears = prices.Number("implement_years", usual.ImplementYears),
            Interest = prices.Number("interest", usual.Interest),
            TaxesInsuranceHousing = prices.Number("taxes_insurance_housing", usual.TaxesInsuranceHousing),
            FuelPrice = prices.Number("fuel"),
            OilShare = prices.Number("oil_share", usual.OilShare),
            Wage = prices.Number("wage"),
            LabourFactor = prices.Number("labour_factor", usual.LabourFactor),
            CustomRate = prices.Number("custom_rate", usual.CustomRate),
        };
    }
}
