namespace Keyline.Report;

/// <summary>The set-out sheet.</summary>
internal static class SetOutWords
{
    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        ("Set-out sheet: {t}", "Hoja de estacado: {0}"),
        ("{n} lines, {n} stakes; lengths and heights in {t}; easting and northing in metres of {t}.", "{0} líneas, {1} estacas; largos y alturas en {2}; este y norte en metros de {3}."), ("{n} line, {n} stakes; lengths and heights in {t}; easting and northing in metres of {t}.", "{0} línea, {1} estacas; largos y alturas en {2}; este y norte en metros de {3}."),
        ("Map of the lines to set out", "Mapa de las líneas por estacar"), ("Map of line {t}", "Mapa de la línea {0}"), ("Profile of line {t}", "Perfil de la línea {0}"),
        ("How to set out", "Cómo estacar"),
        ("Set the laser level up where it sees the first stake.", "Ponga el nivel láser donde vea la primera estaca."),
        ("Find that place by its coordinates or by the map, put the rod on it, and write the reading down.", "Busque ese lugar por sus coordenadas o por el mapa, ponga allí la mira y anote la lectura."),
        ("Every other stake of the set-up reads that", "Toda otra estaca de esa estación lee eso"), ("plus", "más"), ("the figure in the column.", "la cifra de la columna."),
        ("Set the laser level up and put the rod on", "Ponga el nivel láser y la mira sobre"), ("(height {t}). The sheet counts on a reading of", "(altura {0}). La hoja cuenta con una lectura de"),
        ("there. Where yours differs, add the difference (yours less this one) to every reading of the set-up.", "allí. Si la suya difiere, sume la diferencia (la suya menos esta) a cada lectura de la estación."),
        ("Go along the line to the next stake by its coordinates, or by tape and by eye.", "Siga la línea hasta la estaca siguiente por sus coordenadas, o con cinta y a ojo."), ("Move the rod", "Mueva la mira"), ("up or down the slope", "ladera arriba o abajo"),
        ("until it reads what the sheet says, and put the stake there: water then falls along the line as planned, whatever the map says of the ground.", "hasta que lea lo que dice la hoja, y ponga allí la estaca: así el agua cae por la línea como se planeó, diga lo que diga el mapa del terreno."),
        ("Where the plan marks \"grade\" or \"bend\", the line changes its fall or its way: leave no such stake out.", "Donde el plan marca «grade» (caída) o «bend» (curva), la línea cambia de caída o de rumbo: no omita esas estacas."), ("Between stakes, walk a smooth curve.", "Entre estacas, camine una curva suave."),
        ("Where a new set-up begins, leave the rod on the stake named, move the level, read it again, and go on from there.", "Donde empieza otra estación, deje la mira en la estaca nombrada, mueva el nivel, lea otra vez y siga desde allí."),
        ("Where the sheet says", "Donde la hoja dice"), ("flag only", "solo bandera"), (", the place lies within what the plan keeps clear of, as a buried pipe: lay a flag or paint a mark, and drive nothing into the ground.", ", el lugar está dentro de lo que el plan mantiene libre, como una tubería enterrada: ponga una bandera o pinte una marca, y no clave nada en el suelo."),
        ("Write down what was read, and how far a stake was moved left of the line (looking along it to the higher numbers; minus to the right).", "Anote lo leído, y cuánto se movió una estaca a la izquierda de la línea (mirando hacia los números mayores; menos, a la derecha)."), ("Type both into stakes.csv and have them compared with the plan.", "Escriba ambos en stakes.csv y haga compararlos con el plan."),
        ("Have buried lines located and marked before ripping; private ones are not marked by public services, so ask the owner.", "Haga localizar y marcar las líneas enterradas antes de subsolar; las privadas no las marca el servicio público: pregunte al dueño."),
        ("Keep to the side slope in the machine's manual: elevation data does not show holes, banks or soft ground.", "Respete la pendiente lateral del manual: los datos de altura no muestran hoyos, bordos ni suelo blando."),
        ("Rip only when the soil crumbles down to the depth of the point, neither wet nor bone dry.", "Subsole solo cuando el suelo se desmorona hasta la profundidad de la punta, ni mojado ni seco del todo."),
        ("See that water leaving a line reaches a stable outlet, not a track, a bank or a neighbour.", "Cuide que el agua que sale de una línea llegue a un desagüe firme, no a un camino, un bordo o un vecino."),
        ("Walk the keypoints and the first lines with a level before working the field.", "Camine los puntos clave y las primeras líneas con un nivel antes de trabajar el campo."),
        ("Coordinates", "Coordenadas"), ("The elevation is on WGS 84, so longitudes and latitudes needed no shift.", "La elevación está en WGS 84; longitudes y latitudes no necesitaron traslado."),
        ("WGS 84 is known by several realizations: a service that corrects to a national datum (NAD83, ETRS89, GDA2020) can drive the lines 0.5 to 2 m off.", "WGS 84 tiene varias realizaciones: un servicio que corrige a un datum nacional (NAD83, ETRS89, GDA2020) puede llevar las líneas 0.5 a 2 m aparte."),
        ("Before the first pass, drive to a mark whose place is known in this datum and compare; shift the lines in the display by the difference, or use the correction service that the elevation was surveyed with.", "Antes de la primera pasada, vaya a una marca de lugar conocido en este datum y compare; corra las líneas en la pantalla esa diferencia, o use el servicio de corrección con que se levantó la elevación."),
        ("Line {t}", "Línea {0}"),
        ("{n} {t} long, {n} stakes, {n} set-up of the level; ground from {t} to {t}.", "{0} {1} de largo, {2} estacas, {3} estación del nivel; terreno de {4} a {5}."), ("{n} {t} long, {n} stakes, {n} set-ups of the level; ground from {t} to {t}.", "{0} {1} de largo, {2} estacas, {3} estaciones del nivel; terreno de {4} a {5}."),
        ("{n} {t} long, {n} stakes, {n} set-up of the level.", "{0} {1} de largo, {2} estacas, {3} estación del nivel."), ("{n} {t} long, {n} stakes, {n} set-ups of the level.", "{0} {1} de largo, {2} estacas, {3} estaciones del nivel."),
        ("Looking along the line to the higher numbers, a guide has higher ground on its left.", "Mirando por la línea hacia los números mayores, una guía tiene el terreno más alto a su izquierda."),
        ("set-up {n}", "estación {0}"), ("Set-up {n}", "Estación {0}"), ("({t} to {t}). Rod first on", "({0} a {1}). Primero la mira sobre"), ("again. Read:", "otra vez. Lectura:"), ("Read:", "Lectura:"), (": to read {t}, laser at {t}. Read:", ": debe leer {0}, láser a {1}. Lectura:"), ("The others read this plus the figure below.", "Las demás leen esto más la cifra de abajo."),
        ("ground along the line, heights {n} times exaggerated; filled: the grade changes or the line bends", "terreno a lo largo de la línea, alturas exageradas {0} veces; lleno: cambia la caída o la línea dobla"),
        ("stake", "estaca"), ("along {t}", "a lo largo, {0}"), ("why", "por qué"), ("easting m", "este m"), ("northing m", "norte m"), ("fall to", "caída a la"), ("next %", "siguiente %"), ("rod {t}", "mira {0}"), ("read", "leído"), ("moved", "movida a"), ("left", "izquierda"),
        ("start", "inicio"), ("end", "fin"), ("bend", "curva"), ("grade", "caída"), ("interval", "distancia"), ("grade and bend", "caída y curva"), ("interval and grade", "distancia y caída"), ("interval and bend", "distancia y curva"), ("interval and grade and bend", "distancia, caída y curva"), ("flag only: {t}", "solo bandera: {0}"),
    ];
}
