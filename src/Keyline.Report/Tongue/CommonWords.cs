namespace Keyline.Report;

/// <summary>Words that several pages have: months, units of time, services, feet of pages.</summary>
internal static class CommonWords
{
    private static readonly string[] Months = ["enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"];

    /// <summary>A day as "20 de marzo de 2027".</summary>
    /// <param name="day">As "2027-03-20"; what is no day comes back.</param>
    public static string Day(string day) => DateOnly.TryParseExact(day, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture, System.Globalization.DateTimeStyles.None, out DateOnly d)
        ? FormattableString.Invariant($"{d.Day} de {Months[d.Month - 1]} de {d.Year}") : day;

    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        .. Months.Select((m, i) => (System.Globalization.CultureInfo.InvariantCulture.DateTimeFormat.GetMonthName(i + 1), m)).Where(m => m.Item1 != "May"),
        .. Months.Select((m, i) => (System.Globalization.CultureInfo.InvariantCulture.DateTimeFormat.GetAbbreviatedMonthName(i + 1), m[..3])),
        .. Months.Select((m, i) => ("{n} " + System.Globalization.CultureInfo.InvariantCulture.DateTimeFormat.GetAbbreviatedMonthName(i + 1), "{0} " + m[..3])),
        ("the field", "el campo"),
        ("not known", "no se sabe"),
        ("none", "ninguno"),
        ("Cautions", "Cuidados"),
        ("Before you start", "Antes de empezar"),
        ("{t}. An aid to design, not engineering advice: local codes and licensed practice come before it.", "{0}. Una ayuda para el diseño, no un dictamen de ingeniería: las normas locales y los profesionales habilitados van primero."),
        ("{t}. An aid to judgement, not engineering advice: local codes and licensed practice come before it.", "{0}. Una ayuda para juzgar, no un dictamen de ingeniería: las normas locales y los profesionales habilitados van primero."),
        ("{t}. An aid to judgement, not engineering advice; local codes and licensed practice come first.", "{0}. Una ayuda para juzgar, no un dictamen de ingeniería; las normas locales y los profesionales habilitados van primero."),
        ("{t}. An aid to a decision on the spot, not advice that knows the place: local codes and licensed or accredited practice come before it.", "{0}. Una ayuda para decidir en el lugar, no un consejo que conozca el sitio: las normas locales y los profesionales habilitados o acreditados van primero."),
        ("An aid to design, not engineering advice: local codes and licensed practice come first.", "Una ayuda para el diseño, no un dictamen de ingeniería: las normas locales y los profesionales habilitados van primero."),
        ("NO RECORD that buried services were located.", "NO CONSTA que se hayan localizado los servicios enterrados."),
        ("Do not rip before pipes and cables have been located and marked, private ones too (in the USA call 811; private lines are not marked by it).", "No subsole antes de que tuberías y cables estén localizados y marcados, también los privados (en EE. UU. llame al 811; las líneas privadas no las marca)."),
        ("Buried services located and cleared by {t}, ticket {t}, until {d}.", "Servicios enterrados localizados y autorizados por {0}, folio {1}, hasta {2}."),
        ("The work goes on to {d}: have it renewed before {d} is over.", "El trabajo sigue hasta {0}: haga renovarlo antes de que termine {1}."),
        ("rip", "subsolar"),
        ("test strip first", "antes, una franja de prueba"),
        ("rip after something else", "subsolar después de otra cosa"),
        ("do not rip", "no subsolar"),
        ("rip after {w}", "subsolar después de {0}"),
        ("rest and cover", "descanso y cobertura"),
        ("gypsum", "yeso agrícola"),
        ("draining", "drenaje"),
        ("weed control", "control de malezas"),
        ("rest and cover, {w}", "descanso y cobertura, {0}"),
        ("gypsum, {w}", "yeso agrícola, {0}"),
        ("draining, {w}", "drenaje, {0}"),
        ("N", "N"),
        ("over {n}", "más de {0}"),
        ("{n} %", "{0} %"),
    ];
}
