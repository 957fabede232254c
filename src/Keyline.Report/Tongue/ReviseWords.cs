namespace Keyline.Report;

/// <summary>The page of what a revision changed, and the check's own sentences.</summary>
internal static class ReviseWords
{
    // As the page counts them, in any row.
    private static readonly (string English, string Spanish)[] Kinds =
        [("moved aside", "apartadas"), ("cut", "cortadas"), ("joined", "unidas"), ("made longer", "alargadas"), ("new", "nuevas"), ("gone", "quitadas")];

    private static readonly (string English, string Spanish)[] Sides = [("left", "izquierda"), ("right", "derecha")];

    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        ("What changed: {t}", "Qué cambió: {0}"),
        ("What changed: the field", "Qué cambió: el campo"),
        ("{n} lines before, {n} now; {n} of them as they were.", "{0} líneas antes, {1} ahora; {2} de ellas como estaban."),
        .. Kinds.Select(k => ("{n} " + k.English, "{0} " + k.Spanish)),
        .. Kinds.Select(k => ("{n} " + k.English + ", {w}", "{0} " + k.Spanish + ", {1}")),
        ("{w}; {q} of line less.", "{0}; {1} de línea menos."), ("{w}; {q} of line more.", "{0}; {1} de línea más."), ("{w}; {q} of line less, {q} more.", "{0}; {1} de línea menos, {2} más."),
        ("Nothing changed.", "No cambió nada."),
        ("{t}, {q} kept off", "{0}: se guardan {1}"), ("a note, {q} kept off", "una nota: se guardan {0}"),
        ("{t}: ground set free", "{0}: terreno liberado"), ("a note: ground set free", "una nota: terreno liberado"),
        ("Map before", "Mapa de antes"), ("Map now", "Mapa de ahora"), ("before", "antes"), ("now", "ahora"),
        ("and {n} places more.", "y {0} lugares más."),
        ("Line by line", "Línea por línea"),
        ("{t} steps up to {q} aside round {t}.", "{0} se aparta hasta {1} alrededor de {2}."), ("{t} steps up to {q} aside round a note.", "{0} se aparta hasta {1} alrededor de una nota."),
        ("{t} is left out for {t}: no piece of {q} remains.", "{0} queda fuera por {1}: no queda ningún tramo de {2}."), ("{t} is left out for a note: no piece of {q} remains.", "{0} queda fuera por una nota: no queda ningún tramo de {1}."),
        ("{t} loses {q} to {t}.", "{0} pierde {1} por {2}."), ("{t} loses {q} to a note.", "{0} pierde {1} por una nota."),
        ("{t} loses less than {q} to {t}.", "{0} pierde menos de {1} por {2}."), ("{t} loses less than {q} to a note.", "{0} pierde menos de {1} por una nota."),
        ("{t} loses {q} to {t} and is now {t}.", "{0} pierde {1} por {2} y ahora es {3}."), ("{t} loses {q} to a note and is now {t}.", "{0} pierde {1} por una nota y ahora es {2}."),
        ("{t} loses less than {q} to {t} and is now {t}.", "{0} pierde menos de {1} por {2} y ahora es {3}."), ("{t} loses less than {q} to a note and is now {t}.", "{0} pierde menos de {1} por una nota y ahora es {2}."),
        ("{t} is new, {q}.", "{0} es nueva, {1}."),
        ("{t} run through as {t}, with {q} more.", "{0} siguen de largo como {1}, con {2} más."),
        ("{t} is {q} longer.", "{0} es {1} más larga."),
        ("{t} is part of {t} now.", "{0} es ahora parte de {1}."),
        ("To look at: {w}.", "Que mirar: {0}."),
        ("Every other line keeps its name and every coordinate.", "Toda otra línea conserva su nombre y cada coordenada."),
        ("What was measured along a changed line is to be measured again: keyline check tells grade and drift on the ground.", "Lo medido a lo largo de una línea cambiada debe medirse de nuevo: keyline check dice pendiente y deriva sobre el terreno."),
        .. Check.SelectMany(c => c.English.Contains("SIDE", StringComparison.Ordinal)
            ? Sides.Select(s => (c.English.Replace("SIDE", s.English, StringComparison.Ordinal), c.Spanish.Replace("SIDE", s.Spanish, StringComparison.Ordinal)))
            : [c]),
    ];

    // As Keyline.Check says them, without the point at their end.
    private static IEnumerable<(string English, string Spanish)> Check =>
    [
        ("Line {t} runs {q} outside the field", "La línea {0} sale {1} del campo"),
        ("Line {t} runs {q} in the headland of {q}", "La línea {0} entra {1} en la cabecera de {2}"),
        ("Line {t} runs {q} within the setback of {t}", "La línea {0} va {1} dentro del retiro de {2}"),
        ("Line {t} crosses itself", "La línea {0} se cruza a sí misma"),
        ("Line {t} crosses or touches line {t}", "La línea {0} cruza o toca la línea {1}"),
        ("Line {t} leads water to {t}, {q} from its setback", "La línea {0} lleva agua a {1}, a {2} de su retiro"),
        ("Line {t} comes within {q} of another, less than half the spacing of {q}", "La línea {0} llega a {1} de otra, menos de la mitad de la distancia de {2}"),
        ("Line {t} runs as far as {q} from the next line on its SIDE, along {q}, where {q} was asked for", "La línea {0} se aleja hasta {1} de la vecina de su SIDE, a lo largo de {2}, donde se pidió {3}"),
        ("Line {t} runs as near as {q} from the next line on its SIDE, along {q}, where {q} was asked for", "La línea {0} se acerca hasta {1} a la vecina de su SIDE, a lo largo de {2}, donde se pidió {3}"),
        ("Line {t} runs more than {q} from the next line on its SIDE, along {q}, where {q} was asked for", "La línea {0} va a más de {1} de la vecina de su SIDE, a lo largo de {2}, donde se pidió {3}"),
        ("Line {t} has no line within {q} on its SIDE in places along {q}, where the ground can be worked and {q} was asked for", "La línea {0} no tiene línea a menos de {1} a su SIDE en partes a lo largo de {2}, donde el suelo se puede trabajar y se pidió {3}"),
        ("Line {t} leaves a bare strip of up to {q} to the next line on its SIDE, along {q}, where {q} was asked for", "La línea {0} deja una franja de hasta {1} hasta la vecina de su SIDE, a lo largo de {2}, donde se pidió {3}"),
        ("Line {t} runs {q} over missing ground, where nothing can be measured", "La línea {0} pasa {1} por suelo sin datos, donde no se puede medir nada"),
        ("Line {t} falls {n} % along it for {q}, steeper than the {n} % asked for", "La línea {0} cae {1} % a lo largo por {2}, más que el {3} % pedido"),
        ("Line {t} falls one way for {q} without an outlet, farther than the {q} asked for", "La línea {0} cae a un lado por {1} sin desagüe, más que los {2} pedidos"),
        ("Line {t} is {q} long, shorter than the {q} asked for", "La línea {0} tiene {1}, menos que los {2} pedidos"),
        ("Line {t} leads water toward the valley along {n} % of the {q} of it that drift", "La línea {0} lleva el agua hacia la vaguada en el {1} % de los {2} suyos que caen"),
        ("Line {t} falls less than the {n} % asked for along its whole course", "La línea {0} cae menos que el {1} % pedido en todo su recorrido"),
        ("Line {t} runs {q} over land as steep as {n} %, above the {n} % asked for", "La línea {0} va {1} por ladera de hasta {2} %, sobre el {3} % pedido"),
        ("Line {t} tilts the tractor {n} degrees sideways, above the {n} degrees asked for", "La línea {0} inclina el tractor {1} grados de lado, sobre los {2} grados pedidos"),
        ("Line {t} turns on a radius of {q}, tighter than the {q} asked for", "La línea {0} gira con radio de {1}, más cerrado que los {2} pedidos"),
    ];
}
