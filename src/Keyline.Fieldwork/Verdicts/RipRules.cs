namespace Keyline.Fieldwork;

/// <summary>What the ripping is for.</summary>
public enum RipPurpose
{
    /// <summary>To let more water in.</summary>
    Water,

    /// <summary>To let roots down.</summary>
    Roots,
}

/// <summary>A setting of the rules as it is printed.</summary>
/// <param name="Name">Its name in a file of rules.</param>
/// <param name="What">What it bounds.</param>
/// <param name="Value">The value in force, with its unit.</param>
/// <param name="Source">Where the default comes from.</param>
public sealed record RuleSetting(string Name, string What, string Value, string Source);

/// <summary>The bounds that verdicts are given by: every one a setting, with its default and where that comes from.</summary>
/// <remarks>Units: as each says; SI inside. Never changes.</remarks>
public sealed record RipRules
{
    /// <value>What the ripping is for. Default: water.</value>
    public RipPurpose Purpose { get; init; } = RipPurpose.Water;

    /// <value>Soil above rock below which nothing is ripped, metres. Default 0.40.</value>
    public double LeastSoil { get; init; } = 0.40;

    /// <value>Soil left between the tip and rock, metres. Default 0.10.</value>
    public double AboveRock { get; init; } = 0.10;

    /// <value>Strength at field capacity that stops roots, pascals. Default 300 psi, 2.07 MPa.</value>
    public double StopStrength { get; init; } = 300 * Psi;

    /// <value>Strength from which roots are slowed, pascals. Default 200 psi.</value>
    public double SlowStrength { get; init; } = 200 * Psi;

    /// <value>Least the tip goes below the pan, metres. Default one inch.</value>
    public double LeastBelowPan { get; init; } = 0.025;

    /// <value>Most it goes below the pan, metres. Default 0.05.</value>
    public double MostBelowPan { get; init; } = 0.05;

    /// <value>Widths of the tip down to which it surely loosens. Default 5.</value>
    public double SureWidths { get; init; } = 5;

    /// <value>Widths of the tip below which it only presses. Default 7.</value>
    public double MostWidths { get; init; } = 7;

    /// <value>Exchangeable sodium from which to be careful, percent. Default 6.</value>
    public double CarefulSodium { get; init; } = 6;

    /// <value>Exchangeable sodium from which gypsum comes first, percent. Default 15.</value>
    public double MostSodium { get; init; } = 15;

    /// <value>The highest of Emerson's classes that is left alone. Default 2.</value>
    public int DispersiveClass { get; init; } = 2;

    /// <value>Clay from which dispersion must be known before anything is ripped, share. Default 0.30.</value>
    public double ClayToTest { get; init; } = 0.30;

    /// <value>Conductivity of the saturated paste from which to be careful, decisiemens a metre. Default 4.</value>
    public double CarefulSalt { get; init; } = 4;

    /// <value>Intake above which a soil needs no help with water, metres a second. Default 50 mm/h.</value>
    public double FastIntake { get; init; } = 50 / 3.6e6;

    /// <value>Cover below which the land rests first, share. Default 0.40.</value>
    public double LeastCover { get; init; } = 0.40;

    /// <value>Cover below which it is bare, share. Default 0.25.</value>
    public double BareCover { get; init; } = 0.25;

    /// <value>Slope above which nothing is ripped, metres a metre. Default 0.30.</value>
    public double MostSlope { get; init; } = 0.30;

    /// <value>Slope above which to ask first, metres a metre. Default 0.15.</value>
    public double CarefulSlope { get; init; } = 0.15;

    /// <value>The wettest class of drainage that is ripped, after draining. Default: somewhat poor.</value>
    public SoilDrainage WettestClass { get; init; } = SoilDrainage.SomewhatPoor;

    private const double Psi = UnitName.Psi;

    private const string Judgement = "judgement, no source";

    /// <summary>Checks the bounds.</summary>
    /// <exception cref="ArgumentException">One that is no number or lies the wrong way round.</exception>
    public void Validate()
    {
        foreach ((string name, double value) in new[]
        {
            ("least_soil", LeastSoil), ("above_rock", AboveRock), ("stop_strength", StopStrength), ("slow_strength", SlowStrength), ("least_below_pan", LeastBelowPan), ("most_below_pan", MostBelowPan),
            ("sure_widths", SureWidths), ("most_widths", MostWidths), ("careful_sodium", CarefulSodium), ("most_sodium", MostSodium), ("clay_to_test", ClayToTest), ("careful_salt", CarefulSalt),
            ("fast_intake", FastIntake), ("least_cover", LeastCover), ("bare_cover", BareCover), ("most_slope", MostSlope), ("careful_slope", CarefulSlope),
        })
        {
            if (!(value >= 0 && double.IsFinite(value)))
            {
                throw new ArgumentException(FormattableString.Invariant($"The rule {name} is {value}: it must be zero or more."));
            }
        }

        foreach ((string low, double a, string high, double b) in new[]
        {
            ("least_below_pan", LeastBelowPan, "most_below_pan", MostBelowPan), ("slow_strength", SlowStrength, "stop_strength", StopStrength), ("careful_sodium", CarefulSodium, "most_sodium", MostSodium),
            ("bare_cover", BareCover, "least_cover", LeastCover), ("careful_slope", CarefulSlope, "most_slope", MostSlope), ("sure_widths", SureWidths, "most_widths", MostWidths),
        })
        {
            if (a > b)
            {
                throw new ArgumentException($"The rule {low} lies above {high}: give it no more than that.");
            }
        }
    }

    /// <summary>Every setting as it is in force, with the source of its default.</summary>
    public IReadOnlyList<RuleSetting> Settings() =>
    [
        new("purpose", "what the ripping is for", Purpose.ToString().ToLowerInvariant(), Judgement),
        new("least_soil_cm", "soil above rock below which nothing is ripped", Centimetres(LeastSoil), "judgement; shallow soil on shale gave no more forage: G. F. Gifford, Journal of Range Management, 1977 and 1978"),
        new("above_rock_cm", "soil left between tip and rock", Centimetres(AboveRock), Judgement),
        new("stop_strength_kpa", "strength at field capacity that stops roots", FormattableString.Invariant($"{StopStrength / 1000:0} kPa ({StopStrength / Psi:0} psi)"), Penetrometer),
        new("slow_strength_kpa", "strength that slows roots", FormattableString.Invariant($"{SlowStrength / 1000:0} kPa ({SlowStrength / Psi:0} psi)"), Penetrometer),
        new("least_below_pan_cm", "least the tip goes below the pan", Centimetres(LeastBelowPan), DeepTillage),
        new("most_below_pan_cm", "most the tip goes below the pan", Centimetres(MostBelowPan), "common practice, no source"),
        new("sure_widths", "tip widths down to which it loosens", FormattableString.Invariant($"{SureWidths:0.#}"), Tip),
        new("most_widths", "tip widths below which it only presses", FormattableString.Invariant($"{MostWidths:0.#}"), Tip),
        new("careful_sodium_pct", "exchangeable sodium from which to be careful", FormattableString.Invariant($"{CarefulSodium:0.#} %"), Sodium),
        new("most_sodium_pct", "exchangeable sodium from which gypsum comes first", FormattableString.Invariant($"{MostSodium:0.#} %"), "L. A. Richards (ed.), Diagnosis and improvement of saline and alkali soils, USDA Handbook 60, 1954, chapter 2"),
        new("dispersive_class", "the highest of Emerson's classes left alone", FormattableString.Invariant($"{DispersiveClass}"), Emerson),
        new("clay_to_test_pct", "clay from which dispersion must be known first", FormattableString.Invariant($"{100 * ClayToTest:0.#} %"), Judgement),
        new("careful_salt_ds_m", "salt from which to be careful", FormattableString.Invariant($"{CarefulSalt:0.#} dS/m"), "USDA Handbook 60, 1954, chapter 2: saline from 4 dS/m"),
        new("fast_intake_mm_h", "intake that needs no help", FormattableString.Invariant($"{FastIntake * 3.6e6:0.#} mm/h"), Judgement),
        new("least_cover_pct", "cover below which the land rests first", FormattableString.Invariant($"{100 * LeastCover:0.#} %"), "40 to 60 % is the usual threshold of erosion, from memory"),
        new("bare_cover_pct", "cover below which it is bare", FormattableString.Invariant($"{100 * BareCover:0.#} %"), "intake varies most below some 25 %: trials in the Burdekin catchment, Queensland"),
        new("most_slope_pct", "slope above which nothing is ripped", FormattableString.Invariant($"{100 * MostSlope:0.#} %"), Mechanical),
        new("careful_slope_pct", "slope above which to ask first", FormattableString.Invariant($"{100 * CarefulSlope:0.#} %"), MechanicalArizona),
        new("wettest_class", "the wettest class of drainage that is ripped, after draining", WordOf(WettestClass), Wet),
    ];

    internal const string Penetrometer = "soil compaction guides of Penn State and Cornell extension: roots slowed from 200 psi, stopped near 300, read at field capacity";
    internal const string DeepTillage = "NRCS Conservation Practice Standard 324, Deep Tillage, Arizona 2008 and Maine 2014: at least an inch below the restrictive layer";
    internal const string Tip = "British Columbia Ministry of Agriculture, drainage handbook, subsoiling: five to seven widths of the tine";
    internal const string Sodium = "sodic from 6 %: Australian use since K. H. Northcote and J. K. M. Skene, CSIRO Soil Publication 27, 1972, from memory";
    internal const string Emerson = "W. W. Emerson, A classification of soil aggregates based on their coherence in water, Australian Journal of Soil Research 5 (1967) 47-57; advisers leave the most dispersive soil alone";
    internal const string Mechanical = "NRCS Conservation Practice Standard 548, Grazing Land Mechanical Treatment, 1995: slopes below 30 %";
    internal const string MechanicalArizona = "NRCS Conservation Practice Standard 548, Arizona: slopes below 15 %";
    internal const string Wet = "on poorly drained ground slitting raised runoff by 4.8 mm an event, on well-drained ground it lowered it by 35 %: Franklin and others 2007, three pairs of fields in Georgia";
    internal const string Rest = "NRCS Conservation Practice Standard 548: rest from grazing afterwards";
    internal const string Weeds = "NRCS Conservation Practice Standard 548: no noxious plants likely to spread; annual grass peaked in the two years after work: Haferkamp and others 1993, Montana";
    internal const string Sand = "deep ripping trials on Australian sands: they gain most in yield where a pan is shown; for water they take it in already";
    internal const string Cracking = "Grains Research and Development Corporation, deep ripping guides: on cracking clay yields moved by 0.3 t/ha either way; it loosens itself";
    internal const string Helps = "hard-setting ridges kept the work for decades: Wakelin-King 2011, western New South Wales; claypans and solonetz likewise";
    internal const string Seep = "saline seeps are fed by water let in above them: guidance on seep control, seen in part";

    internal static string WordOf(SoilDrainage drainage) => drainage switch
    {
        SoilDrainage.VeryPoor => "very poor",
        SoilDrainage.Poor => "poor",
        SoilDrainage.SomewhatPoor => "somewhat poor",
        SoilDrainage.ModeratelyWell => "moderately well",
        SoilDrainage.Well => "well",
        SoilDrainage.SomewhatExcessive => "somewhat excessive",
        _ => "excessive",
    };

    private static string Centimetres(double metres) => FormattableString.Invariant($"{100 * metres:0.#} cm");
}
