namespace Keyline.Report;

/// <summary>What was found of water, and of the machine in the soil.</summary>
internal static class WaterWords
{
    // As they are typed.
    private static readonly (string English, string Spanish)[] Textures = [.. SeasonWords.Textures.Where(t => t.English.Contains(' ', StringComparison.Ordinal))];

    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        ("Line {t} lets {q} go at its end at {q} and {q}, more than fresh soil stands ({q}, {q}): less fall, break the line, or lead it to a stable outlet.", "La línea {0} suelta {1} en su extremo a {2} y {3}, más de lo que aguanta el suelo fresco ({4}, {5}): menos caída, corte la línea o llévela a un desagüe firme."),
        ("So do {n} more lines: see end_speed_m_s and end_shear_pa in {t}.", "Lo mismo {0} líneas más: vea end_speed_m_s y end_shear_pa en {1}."),
        ("{t} gets {q} less with the plan ({q} for {q}).", "A {0} llegan {1} menos con el plan ({2} en vez de {3})."),
        ("{t} gets {q} more with the plan ({q} for {q}).", "A {0} llegan {1} más con el plan ({2} en vez de {3})."),
        ("{t} gets {q} more with the plan ({q} for {q}): more water makes a gully head walk uphill.", "A {0} llegan {1} más con el plan ({2} en vez de {3}): con más agua la cabeza de una cárcava sube ladera arriba."),
        ("Lead it elsewhere, or look at the lines above.", "Llévela a otra parte, o revise las líneas de arriba."),
        ("{t} gets {q} more with the plan ({q} for {q}): water may have to leave the land where and as it did; ask before you rip, and see the law of the place.", "A {0} llegan {1} más con el plan ({2} en vez de {3}): puede que el agua deba salir del predio donde y como salía; pregunte antes de subsolar y vea la ley del lugar."),
        ("{t} gets {q} less with the plan ({q} for {q}): who uses it there should be asked.", "A {0} llegan {1} menos con el plan ({2} en vez de {3}): pregunte a quien la usa allí."),
        ("{t} gets {q} less with the plan ({q} for {q}): what soaks in above does not fill it.", "A {0} llegan {1} menos con el plan ({2} en vez de {3}): lo que se infiltra arriba no la llena."),
        ("{t} lies off the ground that was run (places up to {q} from the field are): it was not counted.", "{0} queda fuera del terreno calculado (entran lugares a menos de {1} del campo): no se contó."),
        ("Soils by {t} of {t}: {t}; outside the polygons ({q} of the field) {w} is taken.", "Suelos según {0} de {1}: {2}; fuera de los polígonos ({3} del campo) se toma {4}."),
        ("Where one soil must stand for all, as in the longest lines and the years, it is {w}.", "Donde un solo suelo debe valer por todos, como en las líneas más largas y en los años, es {0}."),
        ("Exchangeable sodium is {n} %{w}, from {n} % on called sodic (Northcote and Skene 1972): a rip in sodic clay slumps and seals in the first rain (Grains Research and Development Corporation, update paper of February 2021 on ripping heavy sodic soil), so that next to nothing of this gain lasts.", "El sodio intercambiable es {0} %{1}; desde {2} % se llama sódico (Northcote y Skene 1972): en arcilla sódica la ranura se derrumba y se sella con la primera lluvia (Grains Research and Development Corporation, informe de febrero de 2021 sobre subsolar suelo sódico pesado), así que de esta ganancia no dura casi nada."),
        ("at its most, and {n} % of the field is sodic", "donde más, y el {0} % del campo es sódico"),
        ("Rip one test line, wait for rain and look; gypsum at the rate of a soil test comes first.", "Subsole una línea de prueba, espere la lluvia y mire; antes va yeso en la dosis que diga un análisis de suelo."),
        ("The soil {w}is a cracking clay: dry, its own cracks take in a storm's first water, and wet it swells shut whatever was loosened, neither of which is reckoned here; it loosens itself, and yields on such clay moved by 0.3 t/ha either way (Grains Research and Development Corporation, deep ripping guides).", "El suelo {0}es arcilla que se agrieta: seca, sus propias grietas toman la primera agua de una tormenta; mojada, se hincha y cierra lo que se aflojó; nada de eso se calcula aquí. Se afloja sola, y en arcilla así los rindes variaron 0.3 t/ha a un lado u otro (Grains Research and Development Corporation, guías de subsolado profundo)."),
        ("of {n} % of the field", "del {0} % del campo"),
        ("Rip only where a pan was shown.", "Subsole solo donde se mostró una capa dura."),
        ("Rock lies {q} down{w}: {w} (shallow is less than {q} to rock: Soil Survey Manual, Agriculture Handbook 18, 2017).", "La roca está a {0}{1}: {2} (somero es menos de {3} hasta la roca: Soil Survey Manual, Agriculture Handbook 18, 2017)."),
        ("at its least; on {n} % of the field it is in the way", "donde menos; en el {0} % del campo estorba"),
        ("above the tip at {q}, and a shank that catches on it breaks", "por encima de la punta a {0}, y la púa que se engancha en ella se rompe"),
        ("close below the tip at {q}, and a shank that catches on it breaks", "muy cerca bajo la punta a {0}, y la púa que se engancha en ella se rompe"),
        ("shallow soil", "suelo somero"),
        ("What soil lies over it is soon full, however it is loosened: the gain above, which knows of no rock, is too high there, and on shallow soil over shale ripping gave no more forage (Gifford, Journal of Range Management, 1977 and 1978).", "El suelo que hay encima se llena pronto, por mucho que se afloje: la ganancia de arriba, que no sabe de roca, es allí demasiado alta, y en suelo somero sobre lutita subsolar no dio más forraje (Gifford, Journal of Range Management, 1977 y 1978)."),
        ("{q} in {q}", "{0} en {1}"), ("once in {n} years, {q} long", "una vez en {0} años, de {1}"), ("{t} as measured", "{0} según medición"),
        .. Textures.Select(t => (t.English.Replace(' ', '-'), t.Spanish)),
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
