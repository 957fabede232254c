namespace Keyline.Fieldwork;

/// <summary>A column of a form.</summary>
/// <param name="Name">Its name, with the unit behind an underscore.</param>
/// <param name="Least">Least value that can be; NaN for text.</param>
/// <param name="Most">Greatest.</param>
/// <param name="Needed">Whether a row without it says nothing.</param>
/// <param name="Help">What goes in, in a few words.</param>
public sealed record FormColumn(string Name, double Least, double Most, bool Needed, string Help)
{
    /// <summary>Whether it takes a number.</summary>
    public bool IsNumber => !double.IsNaN(Least);

    /// <summary>Words it takes; empty where any will do.</summary>
    public IReadOnlyList<string> Words { get; init; } = [];
}

/// <summary>A form for readings: one file, the same at every visit.</summary>
/// <remarks>
/// <para>Units: as the columns say; fields of a form are what an instrument shows. Promises: every form begins with date, plot and point where it has them and ends with a note.</para>
/// <para>Source: rings after Reynolds and Elrick 1990; penetrometer after ASAE S313.3 and EP542; cover classes after Daubenmire 1959; pole after Robel et al. 1970,
/// and as in BLM Technical Reference 1734-4 (1996) and Uresk and Juntti 2008; bounds are judgements.</para>
/// </remarks>
/// <param name="Id">Name of its file without ".csv".</param>
/// <param name="Kind">Kind of the points it is for; empty where it is for none.</param>
/// <param name="Title">What it is called.</param>
/// <param name="How">How to measure, in a sentence or two.</param>
/// <param name="Columns">Its columns.</param>
/// <param name="RowsAPoint">Rows printed and written for each point.</param>
public sealed record TrialForm(string Id, string Kind, string Title, string How, IReadOnlyList<FormColumn> Columns, int RowsAPoint = 1)
{
    private static readonly FormColumn Date = new("date", double.NaN, double.NaN, true, "2027-05-31");
    private static readonly FormColumn Plot = new("plot", double.NaN, double.NaN, true, "as in the design");
    private static readonly FormColumn Point = new("point", double.NaN, double.NaN, true, "as in the design");
    private static readonly FormColumn Note = new("note", double.NaN, double.NaN, false, "");

    /// <summary>Every form.</summary>
    public static IReadOnlyList<TrialForm> All { get; } =
    [
        new("rings", "ring", "Rings: infiltration under a constant head", "Press the ring in level, keep the water at one height, write minutes and millimetres gone in since the start; go on until three readings in a row run at one rate. Never in a crack or on a stone.",
        [
            Date, Plot, Point, Number("radius_cm", 2, 60, "inside"), Number("depth_cm", 1, 40, "in the ground"), Number("head_cm", 0, 60, "water above ground"),
            Words("soil", "coarse", "loam", "clay", "tight"), Number("time_min", 0, 1000, "since the start"), Number("infiltrated_mm", 0, 5000, "since the start"), Note,
        ], 8),
        new("penetrometer", "penetrometer", "Penetrometer", "At field capacity, a day or two after wetting rain, 3 cm a second, with a cone of 30 degrees (base 20.3 mm in soft soil, 12.8 mm in hard; new when 3 % is worn off); write the highest reading of each depth. Readings of dry ground compare nothing.",
            [Date, Plot, Point, Number("depth_cm", 0, 120, ""), Number("strength_kpa", 0, 12_000, ""), Words("moisture", "moist", "dry", "wet") with { Needed = false }, Note], 9),
        new("cover", "quadrat", "Ground cover", "In the frame: points hit (hits of how many), or a class 1 to 6 (to 5, 25, 50, 75, 95, 100 %), or the share in a photo from straight above.",
            [Date, Plot, Point, Words("method", "points", "class", "photo"), Words("group", "plant", "litter", "bare", "rock", "moss", "dung"), Optional("hits", 0, 1000, "points"), Optional("of", 1, 1000, "points"), Optional("class", 1, 6, ""), Optional("percent", 0, 100, "photo"), Note], 3),
        new("pole", "pole", "Visual obstruction by the pole", "From 4 m away with the eye at 1 m, from four sides: the lowest band not wholly hidden, counted from 1 at the ground, 0 where none is hidden. With half-inch bands the published way takes 20 stations on a transect.",
            [Date, Plot, Point, Words("bands", "inch", "half-inch", "half-decimetre"), Optional("distance_m", 3.5, 4.5, "4"), Optional("eye_m", 0.8, 1.2, "1"), Optional("north", 0, 100, ""), Optional("east", 0, 100, ""), Optional("south", 0, 100, ""), Optional("west", 0, 100, ""), Note]),
        new("clips", "clip", "Clipped forage", "Clip the frame at one height, this year's growth only; weigh, dry at 60 degrees to constant weight, weigh again. Where only some are dried, write their dry share for the others.",
            [Date, Plot, Point, Number("frame_m2", 0.05, 4, ""), Optional("wet_g", 0, 5000, ""), Optional("dry_g", 0, 3000, ""), Optional("dry_share", 0.05, 1, "dry over wet"), Note]),
        new("soil", "core", "Soil tests", "One row a test of the laboratory or the field kit, with its unit.",
            [Date, Plot, Point, new("test", double.NaN, double.NaN, true, "as organic-carbon"), Optional("depth_cm", 0, 200, "lower end"), Number("value", -1000, 1e6, ""), new("unit", double.NaN, double.NaN, true, ""), Note]),
        new("photos", "photo", "Photo points", "Stand on the point, look along the bearing, camera at 1.5 m, the horizon a third from the top; write where the picture is kept.",
            [Date, Plot, Point, new("link", double.NaN, double.NaN, true, "file or address"), Note]),
        new("rain", "", "Rain gauge", "Every day with rain, at the same hour.", [Date, Number("rain_mm", 0, 700, "since the last reading"), Note]),
    ];

    private static FormColumn Number(string name, double least, double most, string help) => new(name, least, most, true, help);

    private static FormColumn Optional(string name, double least, double most, string help) => new(name, least, most, false, help);

    private static FormColumn Words(string name, params string[] words) => new(name, double.NaN, double.NaN, true, string.Join(", ", words)) { Words = words };
}
