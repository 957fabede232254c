using System.Globalization;

namespace Keyline.Fieldwork;

/// <summary>An example of each form, filled in as in the field, with the names of a trial's own plots and points.</summary>
/// <remarks>
/// <para>Units: as the columns say. Promises: every row is one that <see cref="FormReader"/> uses; invented values of ordinary loam under grass. Cost: none. Source: ours.</para>
/// </remarks>
public static class FormExample
{
    private static readonly DateOnly Day = new(2027, 5, 31);

    // A ring 15 cm wide, 5 cm deep, 5 cm of water: steady near 90 mm/h after three quarters of an hour.
    private static readonly (int Minutes, double Millimetres)[] Ring = [(5, 19), (10, 31), (20, 51), (30, 68.5), (45, 92), (60, 114.5), (75, 137)];

    // A pan between 18 and 31 cm.
    private static readonly (int Depth, int Strength)[] Profile = [(5, 600), (10, 900), (15, 1400), (20, 2300), (25, 2800), (30, 2100), (35, 1500), (40, 1400), (45, 1300)];

    /// <summary>The lines of an example, the head first.</summary>
    /// <param name="form">The form.</param>
    /// <param name="plot">A plot; any text for a form that has no plots.</param>
    /// <param name="point">A point of the form's kind in it; any text likewise.</param>
    public static IReadOnlyList<string> Of(TrialForm form, string plot, string point)
    {
        ArgumentNullException.ThrowIfNull(form);
        string at = FormattableString.Invariant($"{Day:yyyy-MM-dd},{plot},{point}");
        IEnumerable<string> rows = form.Id switch
        {
            "rings" => Ring.Select(r => Line(at, "7.5", "5", "5", "loam", N(r.Minutes), N(r.Millimetres), "")),
            "penetrometer" => Profile.Select(p => Line(at, N(p.Depth), N(p.Strength), "moist", "")),
            "cover" => [Line(at, "points", "plant", "22", "40", "", "", ""), Line(at, "points", "litter", "9", "40", "", "", ""), Line(at, "points", "bare", "9", "40", "", "", "")],
            "pole" => [Line(at, "inch", "4", "1", "4", "5", "6", "5", "")],
            "clips" => [Line(at, "0.25", "96", "38.5", "", "")],
            "soil" => [Line(at, "organic carbon", "10", "1.8", "%", "")],
            "photos" => [Line(at, "photos/2027-05-31-" + point + ".jpg", "")],
            _ => [Line("2027-05-02", "12.4", ""), Line("2027-05-17", "3", "gauge read at 8"), Line("2027-05-24", "21.6", "")],
        };
        return [string.Join(',', form.Columns.Select(c => c.Name)), .. rows];
    }

    private static string Line(params string[] cells) => string.Join(',', cells);

    private static string N(double value) => value.ToString("0.#", CultureInfo.InvariantCulture);
}
