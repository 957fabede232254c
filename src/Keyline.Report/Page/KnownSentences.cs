using System.Globalization;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>Sentences that other parts of the program write in English, known by their shape: the page says them in both languages and in the reader's units.</summary>
/// <remarks>
/// <para>A shape has places in braces: {pct} a percentage, {m}, {m2} and {ha} numbers with that unit, {n} a whole number, {t} any text.</para>
/// <para>Promises: a sentence of another shape is left as it is, in English. Cost: that of trying the shapes, a few tens.</para>
/// </remarks>
internal static partial class KnownSentences
{
    private static readonly (string Shape, Phrase Said)[] All =
    [
        Same("No line could be laid out.", "No se pudo trazar ninguna línea."),
        Same("Lines cross or touch in {n} place.", "Las líneas se cruzan o se tocan en {0} lugar."),
        Same("Lines cross or touch in {n} places.", "Las líneas se cruzan o se tocan en {0} lugares."),
        Same("{pct} of the length is steeper along the line than the {pct} asked for.", "El {0} de la longitud cae a lo largo más que el {1} pedido."),
        Same("{pct} of the length is steeper along the line than the rule {t} allows.", "El {0} de la longitud cae a lo largo más de lo que permite la regla {1}."),
        Same("{pct} of the length has its next line, on one side or the other, more than {pct} off the spacing of {m}.", "En el {0} de la longitud la línea vecina, de un lado o del otro, se aparta más de {1} de la distancia de {2}."),
        Same("Only {pct} of the length that drifts falls toward the ridge.", "Solo el {0} de la longitud que cae lo hace hacia la loma."),
        Same("Lines reach only {pct} of the ground that could be worked.", "Las líneas alcanzan solo el {0} del suelo que se podría trabajar."),
        Same("{pct} of the length turns tighter than {m} (least radius {m}).", "El {0} de la longitud gira más cerrado que {1} (radio menor: {2})."),
        Same("No valley here has a keypoint; the guides follow the ground without one.", "Aquí ninguna vaguada tiene punto clave; las guías siguen el terreno sin él."),
        Same("The only keypoint is weak: walk to it before trusting it.", "El único punto clave es débil: camine hasta él antes de fiarse."),
        Same("One of {n} keypoints is weak: walk to it before trusting it.", "Uno de los {0} puntos clave es débil: camine hasta él antes de fiarse."),
        Same("{n} of {n} keypoints are weak: walk to them before trusting them.", "{0} de los {1} puntos clave son débiles: camine hasta ellos antes de fiarse."),
        Same("{ha} of the field is steeper than {pct} and is left out.", "{0} del campo pasan de {1} de pendiente y quedan fuera."),
        Same("{m2} in patches smaller than {m2} is steeper than {pct} and is worked over: look at them before driving.", "{0} en manchas de menos de {1} pasan de {2} de pendiente y se trabajan igual: mírelas antes de entrar."),
        Same("One avoided area with its setback is left out.", "Una zona a evitar, con su retiro, queda fuera."),
        Same("{n} avoided areas with their setbacks are left out.", "{0} zonas a evitar, con sus retiros, quedan fuera."),
        Same("No line of at least {m} fits the field.", "Ninguna línea de al menos {0} cabe en el campo."),
        (
            "Even lines: with every line within {pct} of the spacing and in the directions wished for, at least {n} line ends must lie inside the field; the plan's balance of drift and ends asks for {n} and its pattern has {n} places where a line starts or stops, near the edge too (the figures count line ends more than two spacings inside).",
            new Phrase(
                "To hold every line within {0} of the spacing and in the direction wished for, at least {1} line ends would have to lie inside the field. The plan weighs that against fewer turns: its pattern has {3} places where a line starts or stops, those near the edge too. The figures count only line ends more than two spacings inside.",
                "Para que toda línea quede a ±{0} de la distancia y en la dirección deseada, al menos {1} extremos tendrían que estar dentro del campo. El plan lo pesa contra menos vueltas: su trazado tiene {3} lugares donde una línea empieza o termina, también cerca del borde. Las cifras cuentan solo los extremos a más de dos distancias hacia adentro.")),
        Same(
            "{pct} of the length is steeper than {pct} over {m} of the heights as delivered, and {pct} on the same ground calmed at about a spacing: the ground's roughness sets the grade there, and a lower limit would not make these lines gentler.",
            "El {0} de la longitud pasa de {1} medido sobre {2} en las alturas recibidas, y el {3} en el mismo terreno alisado a una distancia entre líneas: allí la aspereza del terreno fija la pendiente, y un límite más bajo no suavizaría estas líneas."),
        Same(
            "Only {pct} of what drifts here falls toward the ridge, where chance would give half; straight lines at {t} degrees from grid north would hold the grade limit over {pct} of this ground with fewer turns, though water may run along them to the hollows: lay them out too (pattern straight) and compare before choosing.",
            "Solo el {0} de lo que cae aquí va hacia la loma, cuando el azar daría la mitad; líneas rectas a {1} grados del norte de la cuadrícula cumplirían el límite en el {2} de este suelo con menos vueltas, aunque el agua puede correr por ellas hacia las vaguadas: trácelas también (pattern straight) y compare antes de elegir."),
        Same("Heights are taken as metres: the file does not say.", "Las alturas se toman en metros: el archivo no lo dice."),
        Same("The elevation is on WGS 84, so longitudes and latitudes needed no shift.", "La elevación está en WGS 84; longitudes y latitudes no necesitaron traslado."),
        Same("The cells are too large to tell bare earth from a surface with trees and buildings; ask the source which it is.", "Las celdas son muy grandes para distinguir suelo desnudo de una superficie con árboles y edificios; pregunte a la fuente cuál es."),
        Same(
            "Longitudes and latitudes are {t} taken as WGS 84 without a shift (EPSG transformation {t}, good to about {m}): field, lines and map agree with each other, but a receiver on another datum can be that far off.",
            "Longitudes y latitudes son {0} tomadas como WGS 84 sin traslado (transformación EPSG {1}, buena a unos {2}): campo, líneas y mapa concuerdan entre sí, pero un receptor en otro datum puede apartarse eso."),
        Same(
            "Longitudes and latitudes were shifted from {t} to WGS 84 by seven parameters (EPSG transformation {t}, good to about {m}): field, lines and map agree with each other, but a receiver on another datum can be that far off.",
            "Longitudes y latitudes se trasladaron de {0} a WGS 84 con siete parámetros (transformación EPSG {1}, buena a unos {2}): campo, líneas y mapa concuerdan entre sí, pero un receptor en otro datum puede apartarse eso."),
    ];

    // Making a pattern takes longer than all else here, so one is made only for a sentence that begins and ends as the shape does.
    private static readonly (string Begin, string End, Lazy<Regex> Shape, string[] Kinds, Phrase Said)[] Shapes =
        [.. All.Select(a => (Begin(a.Shape), End(a.Shape), new Lazy<Regex>(() => new Regex(Pattern(a.Shape), RegexOptions.CultureInvariant | RegexOptions.NonBacktracking)), Places().Matches(a.Shape).Select(m => m.Groups[1].Value).ToArray(), a.Said))];

    /// <summary>Every phrase with the number of places its shape has.</summary>
    public static IEnumerable<(int Places, Phrase Said)> Phrases => Shapes.Select(s => (s.Kinds.Length, s.Said));

    /// <summary>What a sentence says; null where its shape is not known.</summary>
    public static Statement? Of(string sentence)
    {
        foreach ((string begin, string end, Lazy<Regex> shape, string[] kinds, Phrase said) in Shapes)
        {
            if (sentence.StartsWith(begin, StringComparison.Ordinal) && sentence.EndsWith(end, StringComparison.Ordinal) && shape.Value.Match(sentence) is { Success: true } match)
            {
                return new Statement(said, [.. kinds.Select((kind, i) => Value(kind, match.Groups[i + 1].Value))]);
            }
        }

        return null;
    }

    private static (string, Phrase) Same(string shape, string spanish)
    {
        int place = 0;
        return (shape, new Phrase(Places().Replace(shape, _ => FormattableString.Invariant($"{{{place++}}}")), spanish));
    }

    private static string Begin(string shape) => shape.IndexOf('{', StringComparison.Ordinal) is int at and >= 0 ? shape[..at] : shape;

    private static string End(string shape) => shape[(shape.LastIndexOf('}') + 1)..];

    private static string Pattern(string shape) => "^" + Places().Replace(Regex.Escape(shape).Replace("\\{", "{", StringComparison.Ordinal), m => m.Groups[1].Value switch
    {
        "t" => "(.+)",
        "n" => "([0-9]+)",
        "pct" => "(-?[0-9.]+) %",
        { } unit => $"(-?[0-9.]+) {unit}",
    }).Replace("\\ ", " ", StringComparison.Ordinal) + "$";

    private static object Value(string kind, string text)
    {
        int decimals = text.Contains('.', StringComparison.Ordinal) && kind != "t" ? text.Length - text.IndexOf('.', StringComparison.Ordinal) - 1 : 0;
        double Number() => double.Parse(text, CultureInfo.InvariantCulture);
        return kind switch
        {
            "t" => text,
            "n" => Measure.Number(Number()),
            "pct" => Measure.Percent(Number(), decimals),
            "m" => Measure.Told(Number(), decimals),
            "m2" => new Measure(Unit.SmallArea, Number(), decimals),
            _ => Measure.Area(1e4 * Number(), decimals),
        };
    }

    [GeneratedRegex(@"\{(pct|m2|m|ha|n|t)\}")]
    private static partial Regex Places();
}
