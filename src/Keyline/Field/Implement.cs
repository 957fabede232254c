namespace Keyline.Field;

/// <summary>How an implement hangs on the tractor.</summary>
public enum HitchKind
{
    /// <summary>Carried by the three-point hitch: it swings with the tractor and may be reversed.</summary>
    Mounted,

    /// <summary>Drawn on wheels of its own: it follows, and is not reversed into a row.</summary>
    Trailed,
}

/// <summary>The point of a shank.</summary>
public enum TipKind
{
    /// <summary>A narrow point.</summary>
    Narrow,

    /// <summary>A point with wings, about 30 cm across.</summary>
    Winged,
}

/// <summary>A subsoiler, as far as planning needs to know it.</summary>
/// <remarks>Units: metres, seconds. The defaults are those of a common mounted subsoiler: common practice, no source; measure your own.</remarks>
public sealed record Implement
{
    /// <summary>Deepest work that is planned for, metres.</summary>
    public const double DeepestWork = 1.0;

    // What a frame reaches beyond its outer shanks on either side: common practice, no source.
    private const double Outside = 0.3;

    /// <value>How it hangs on the tractor. Default: mounted.</value>
    public HitchKind Hitch { get; init; } = HitchKind.Mounted;

    /// <value>Number of shanks.</value>
    public required int Shanks { get; init; }

    /// <value>Distance between neighbouring shanks, metres; of no meaning for one shank.</value>
    public required double ShankSpacing { get; init; }

    /// <value>Depth of the tips below the ground, metres.</value>
    public required double Depth { get; init; }

    /// <value>Width of a tip without its wings, metres. Default 0.06.</value>
    public double TipWidth { get; init; } = 0.06;

    /// <value>Kind of tip. Default: narrow.</value>
    public TipKind Tip { get; init; } = TipKind.Narrow;

    /// <value>From the hitch back to the shanks, metres. Default 1.2.</value>
    public double HitchToShank { get; init; } = 1.2;

    /// <value>From the hitch back to its rear end, metres; NaN for half a metre behind the shanks. Default NaN.</value>
    public double Length { get; init; } = double.NaN;

    /// <value>Width over all at work, metres; NaN for that of the shanks and 0.3 m on either side. Default NaN.</value>
    public double Width { get; init; } = double.NaN;

    /// <value>Width over all on the road, metres; NaN for <see cref="Width"/>. Default NaN.</value>
    public double TransportWidth { get; init; } = double.NaN;

    /// <value>Least radius of a bend with the shanks in the ground, metres. Default 8.</value>
    public double RadiusInGround { get; init; } = 8.0;

    /// <value>Least radius of the rear axle's middle with the implement lifted, metres. Default 6.</value>
    public double RadiusLifted { get; init; } = 6.0;

    /// <value>To lift it out, and again to let it down to depth, seconds each. Default 4.</value>
    public double LiftTime { get; init; } = 4.0;

    /// <summary>Width over all at work, metres.</summary>
    public double WidthOverAll => double.IsNaN(Width) ? ((Shanks - 1) * ShankSpacing) + (2 * Outside) : Width;

    /// <summary>From the hitch back to its rear end, metres.</summary>
    public double LengthOverAll => double.IsNaN(Length) ? HitchToShank + 0.5 : Length;

    /// <summary>Width over all on the road, metres.</summary>
    public double RoadWidth => double.IsNaN(TransportWidth) ? WidthOverAll : TransportWidth;

    internal string? Fault() =>
        Shanks is < 1 or > 99 ? FormattableString.Invariant($"An implement has from 1 to 99 shanks, not {Shanks}.")
        : !(ShankSpacing > 0 && ShankSpacing <= 20) && Shanks > 1 ? FormattableString.Invariant($"Shanks {ShankSpacing:0.###} m apart cannot be planned for: give the distance between neighbouring shanks, above 0 and up to 20 m.")
        : !(Depth > 0 && Depth <= DeepestWork) ? FormattableString.Invariant($"A working depth of {Depth:0.###} m cannot be planned for: give the depth of the tips, above 0 and up to {DeepestWork:0.#} m.")
        : !(TipWidth > 0 && TipWidth <= 0.5) ? FormattableString.Invariant($"A tip {TipWidth:0.###} m wide cannot be planned for: give its width without wings, above 0 and up to 0.5 m.")
        : !(HitchToShank >= 0 && HitchToShank <= 15) ? FormattableString.Invariant($"Shanks {HitchToShank:0.##} m behind the hitch cannot be planned for: give 0 to 15 m.")
        : Hitch == HitchKind.Trailed && !(HitchToShank >= 0.5) ? FormattableString.Invariant($"A trailed implement has its shanks half a metre or more behind the hitch, not {HitchToShank:0.##} m.")
        : !(LengthOverAll >= HitchToShank && LengthOverAll <= 20) ? FormattableString.Invariant($"An implement {LengthOverAll:0.##} m long does not reach its own shanks {HitchToShank:0.##} m behind the hitch: give its length from the hitch, up to 20 m.")
        : !(WidthOverAll >= (Shanks - 1) * ShankSpacing && WidthOverAll <= 30) ? FormattableString.Invariant($"An implement {WidthOverAll:0.##} m wide does not carry {Shanks} shanks {ShankSpacing:0.##} m apart: give its width over all, up to 30 m.")
        : !(RoadWidth > 0 && RoadWidth <= 30) ? FormattableString.Invariant($"A road width of {RoadWidth:0.##} m cannot be planned for: give it above 0 and up to 30 m.")
        : !(RadiusInGround > 0 && RadiusInGround <= 500) ? FormattableString.Invariant($"A radius of {RadiusInGround:0.##} m in the ground cannot be driven: give the least radius of a bend at work, above 0 and up to 500 m.")
        : !(RadiusLifted > 0 && RadiusLifted <= 100) ? FormattableString.Invariant($"A radius of {RadiusLifted:0.##} m with the implement lifted cannot be driven: give the least radius of a turn, above 0 and up to 100 m.")
        : !(LiftTime >= 0 && LiftTime <= 120) ? FormattableString.Invariant($"A lift time of {LiftTime:0.#} s cannot be planned for: give 0 to 120 s.")
        : null;
}
