namespace Keyline.Report;

/// <summary>What was found of water, and of the machine in the soil.</summary>
internal static class WaterWords
{
    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        ("Line {t} lets {q} go at its end at {q} and {q}, more than fresh soil stands ({q}, {q}): less fall, break the line, or lead it to a stable outlet.", "La línea {0} suelta {1} en su extremo a {2} y {3}, más de lo que aguanta el suelo fresco ({4}, {5}): menos caída, corte la línea o llévela a un desagüe firme."),
        ("So do {n} more lines: see end_speed_m_s and end_shear_pa in {t}.", "Lo mismo {0} líneas más: vea end_speed_m_s y end_shear_pa en {1}."),
        ("With the {q} that the busiest half hour leaves over, lines {q} apart may fall one way for {w} at {n} %, {w} at {n} % and {w} at {n} % ({q} and {q} on fresh soil; Manning).", "Con los {0} que sobran en la media hora más fuerte, líneas a {1} pueden caer a un lado por {2} al {3} %, {4} al {5} % y {6} al {7} % ({8} y {9} en suelo fresco; Manning)."),
        ("any length", "cualquier longitud"),
        ("Only {q} run off as it is: there is nothing to catch in such a storm (in a dry winter on steep wheat land slots even dried the soil beside them).", "Así como está escurren solo {0}: en tal tormenta no hay nada que retener (en un invierno seco, en trigales empinados, las ranuras hasta secaron el suelo a su lado)."),
        ("The lines keep {q} more: nothing that pays.", "Las líneas guardan {0} más: nada que pague."),
        ("The soil takes in {q} when wet: sand needs no rips for its water, whatever a pan in it may need.", "El suelo absorbe {0} estando mojado: la arena no necesita ranuras para el agua, necesite lo que necesite una capa dura en ella."),
        ("The soil takes in {q} when wet: it needs no rips for its water.", "El suelo absorbe {0} estando mojado: no necesita ranuras para el agua."),
        ("The rip ends at {q}, above the tighter layer at {q} ({q}): it fills and stands.", "La ranura termina a {0}, sobre la capa más cerrada que está a {1} ({2}): se llena y queda."),
        ("The soil is all but full before the storm: on poorly drained ground loosening made more run off, not less (slit hay fields in Georgia: Franklin and others 2007).", "El suelo está casi lleno antes de la tormenta: en suelo mal drenado aflojar hizo escurrir más, no menos (praderas ranuradas en Georgia: Franklin y otros 2007)."),
        ("{n} mm a year find the soil full: on poorly drained ground loosening made more run off, not less (slit hay fields in Georgia: Franklin and others 2007).", "{0} mm al año hallan el suelo lleno: en suelo mal drenado aflojar hizo escurrir más, no menos (praderas ranuradas en Georgia: Franklin y otros 2007)."),
        ("On {w} soil {w} at {q} take {q} (the standard leaves {q} open) and {q} at the engine; {q} at the drawbar pull them at {q}, {q} where the soil is easy, {w} where it is hard.", "En suelo {0}, {1} a {2} piden {3} (la norma deja abierto {4}) y {5} en el motor; {6} en la barra las llevan a {7}, {8} donde el suelo es fácil, {9} donde es duro."),
        ("On {w} soil {w} at {q} take {q} and more than the {q} this tractor has at the drawbar, even at {q}.", "En suelo {0}, {1} a {2} piden {3} y más de los {4} que este tractor tiene en la barra, aun a {5}."),
        ("medium", "medio"), ("fine", "fino"), ("coarse", "grueso"), ("one shank", "una púa"), ("{n} shanks", "{0} púas"), ("not at all", "nada"),
        ("It would pull {l}.", "Podría con {0}."), ("{n} of {n} shanks", "{0} de {1} púas"), ("or {n} of {n} shanks", "o {0} de {1} púas"), ("{q} of depth at the most, deepening over the years", "{0} de profundidad como máximo, ahondando con los años"), ("or {q} of depth at the most, deepening over the years", "o {0} de profundidad como máximo, ahondando con los años"), ("or {q} if the implement may go so slowly", "o {0} si el implemento puede ir tan despacio"), ("{q} if the implement may go so slowly", "{0} si el implemento puede ir tan despacio"),
        ("A tip {q} wide loosens down to {n} to {q} (five to seven widths); at {q} it presses soil aside and smears it below that: dig to the tip's depth after the first metres and look.", "Una punta de {0} de ancho afloja hasta {1} a {2} (cinco a siete anchos); a {3} aparta el suelo y lo embarra por debajo: excave hasta la punta tras los primeros metros."),
        ("A tip {q} wide loosens down to {n} to {q} (five to seven widths); at {q} it may press soil aside and smear it below that: dig to the tip's depth after the first metres and look.", "Una punta de {0} de ancho afloja hasta {1} a {2} (cinco a siete anchos); a {3} puede apartar el suelo y embarrarlo por debajo: excave hasta la punta tras los primeros metros."),
        ("The draft is {n} % of the tractor's weight; beyond about {n} % wheels slip more than pays (common practice, no source): ballast it as its manual allows, or go shallower.", "El tiro es el {0} % del peso del tractor; pasado un {1} % las ruedas patinan más de lo que conviene (práctica común, sin fuente): lastre como permita el manual, o vaya menos hondo."),
        ("Slip to aim for on this surface: {n} to {n} %.", "Patinaje al que apuntar en esta superficie: {0} a {1} %."),
    ];
}
