namespace Keyline.Report;

/// <summary>The sheets to write readings on, and what is said of rows. Names of columns stay beside their Spanish where the table is read by them.</summary>
internal static class FormWords
{
    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        ("Date: ______________ Who: ______________ Instrument: ______________", "Fecha: ______________ Quién: ______________ Instrumento: ______________"),
        ("Rings: infiltration under a constant head", "Anillos: infiltración con carga constante"),
        ("Press the ring in level, keep the water at one height, write minutes and millimetres gone in since the start; go on until three readings in a row run at one rate. Never in a crack or on a stone.", "Hunda el anillo a nivel, mantenga el agua a una altura, anote minutos y milímetros infiltrados desde el comienzo; siga hasta que tres lecturas seguidas vayan al mismo ritmo. Nunca en una grieta ni sobre una piedra."),
        ("Penetrometer", "Penetrómetro"),
        ("At field capacity, a day or two after wetting rain, {q} a second, with a cone of 30 degrees (base {q} in soft soil, {q} in hard; new when 3 % is worn off); write the highest reading of each depth. Readings of dry ground compare nothing.", "A capacidad de campo, uno o dos días tras una lluvia que moje, {0} por segundo, con cono de 30 grados (base {1} en suelo blando, {2} en duro; cámbielo cuando se gaste 3 %); anote la mayor lectura de cada profundidad. Las lecturas en suelo seco no comparan nada."),
        ("Ground cover", "Cobertura del suelo"),
        ("In the frame: points hit (hits of how many), or a class 1 to 6 (to 5, 25, 50, 75, 95, 100 %), or the share in a photo from straight above.", "En el marco: puntos tocados (toques de cuántos), o una clase de 1 a 6 (hasta 5, 25, 50, 75, 95, 100 %), o la parte en una foto desde arriba."),
        ("Visual obstruction by the pole", "Obstrucción visual con la vara"),
        ("From {q} away with the eye at {q}, from four sides: the lowest band not wholly hidden, counted from 1 at the ground, 0 where none is hidden. With half-inch bands the published way takes 20 stations on a transect.", "Desde {0} con el ojo a {1}, de los cuatro lados: la banda más baja no del todo tapada, contada desde 1 en el suelo, 0 si ninguna está tapada. Con bandas de media pulgada el método publicado toma 20 estaciones por transecto."),
        ("Clipped forage", "Forraje cortado"),
        ("Clip the frame at one height, this year's growth only; weigh, dry at 60 degrees to constant weight, weigh again. Where only some are dried, write their dry share for the others.", "Corte el marco a una altura, solo lo de este año; pese, seque a 60 grados hasta peso constante, pese otra vez. Si solo se secan algunos, anote su parte seca para los demás."),
        ("Soil tests", "Análisis de suelo"), ("One row a test of the laboratory or the field kit, with its unit.", "Una fila por análisis de laboratorio o de campo, con su unidad."),
        ("Photo points", "Puntos de foto"),
        ("Stand on the point, look along the bearing, camera at {q}, the horizon a third from the top; write where the picture is kept.", "Párese en el punto, mire según el rumbo, cámara a {0}, el horizonte a un tercio de arriba; anote dónde se guarda la foto."),
        ("Rain gauge", "Pluviómetro"), ("Every day with rain, at the same hour.", "Cada día con lluvia, a la misma hora."),
        ("point", "punto"), ("radius cm", "radio cm"), ("depth cm", "profundidad cm"), ("head cm", "carga cm"), ("soil", "suelo"), ("on the rip", "en la ranura"), ("method", "método"), ("group", "grupo"), ("hits", "toques"), ("of", "de"), ("class", "clase"), ("percent", "por ciento"), ("points", "puntos"), ("photo", "foto"), ("note", "nota"), ("date", "fecha"),
        ("points, class, photo", "points (puntos), class (clase), photo (foto)"), ("plant, litter, bare, rock, moss, dung", "plant (planta), litter (mantillo), bare (desnudo), rock (roca), moss (musgo), dung (estiércol)"),
        ("bands", "bandas"), ("inch, half-inch, half-decimetre", "inch (pulgada), half-inch (media pulgada), half-decimetre (medio decímetro)"), ("distance m", "distancia m"), ("eye m", "ojo m"), ("north", "norte"), ("east", "este"), ("south", "sur"), ("west", "oeste"),
        ("frame m2", "marco m2"), ("wet g", "húmedo g"), ("dry g", "seco g"), ("dry share", "parte seca"), ("dry over wet", "seco entre húmedo"), ("test", "análisis"), ("as organic-carbon", "como carbono-orgánico"), ("lower end", "extremo inferior"), ("unit", "unidad"), ("link", "enlace"), ("file or address", "archivo o dirección"), (", look {n}°", ", mire a {0}°"), ("rain mm", "lluvia mm"), ("since the last reading", "desde la última lectura"),
        ("Set aside.", "Apartado."), ("Rows to look at", "Filas que mirar"), ("{n} set aside, {n} used and told of. The tables themselves are as they were.", "{0} apartadas, {1} usadas y señaladas. Las tablas quedan como estaban."),
        ("{t}, line {n}: it has values and no date; write the day as {t}.", "{0}, línea {1}: tiene valores y no tiene fecha; escriba el día como {2}."),
        ("{t}, line {n}: \"{t}\" is no date that can be read one way only; write it as {t}.", "{0}, línea {1}: «{2}» no es una fecha que se lea de una sola manera; escríbala como {3}."),
        ("{t}, line {n}: it names no plot.", "{0}, línea {1}: no nombra parcela."), ("{t}, line {n}: it names no point.", "{0}, línea {1}: no nombra punto."),
        ("{t}, line {n}: there is no plot {t} in the design; its plots are {t}.", "{0}, línea {1}: no hay parcela {2} en el diseño; sus parcelas son {3}."), ("{t}, line {n}: there is no point {t} in the design.", "{0}, línea {1}: no hay punto {2} en el diseño."),
        ("{t}, line {n}: point {t} lies in plot {t} and the row says {t}: plots may be swapped; find out which one is right.", "{0}, línea {1}: el punto {2} está en la parcela {3} y la fila dice {4}: las parcelas pueden estar cambiadas; averigüe cuál es la correcta."),
        ("{t}, line {n}: point {t} is one for {t} and this is the table of {t}.", "{0}, línea {1}: el punto {2} es para {3} y esta es la tabla de {4}."),
        ("{t}, line {n}: {t} is missing.", "{0}, línea {1}: falta {2}."), ("{t}, line {n}: {t} is \"{t}\", which is no number.", "{0}, línea {1}: {2} es «{3}», que no es un número."), ("{t}, line {n}: {t} is \"{t}\"; write {t}.", "{0}, línea {1}: {2} es «{3}»; escriba {4}."),
        ("{t}, line {n}: {t} is \"{t}\" with a decimal comma and was read as {n}.", "{0}, línea {1}: {2} es «{3}» con coma decimal y se leyó como {4}."), ("{t}, line {n}: {t} is \"{t}\" and was taken for {t}.", "{0}, línea {1}: {2} es «{3}» y se tomó por {4}."),
        ("{t}, line {n}: {t} is {n}, and {n} to {n} can be.", "{0}, línea {1}: {2} es {3}, y puede ser de {4} a {5}."), ("{t}, line {n}: {t} is {n}, and {n} to {n} can be; in {t} it would be {q}: write it so, or with its unit.", "{0}, línea {1}: {2} es {3}, y puede ser de {4} a {5}; en {6} sería {7}: escríbalo así, o con su unidad."),
        ("{t}, line {n}: it repeats line {n}; where both were measured, write the second with another date or leave one out.", "{0}, línea {1}: repite la línea {2}; si se midieron las dos, escriba la segunda con otra fecha o quite una."),
        ("{t}, line {n}: ring {t} gains water: {q} had gone in after {q} and {q} after {q}; write what has gone in since the start, refills added.", "{0}, línea {1}: el anillo {2} gana agua: habían entrado {3} a los {4} y {5} a los {6}; anote lo infiltrado desde el comienzo, con los rellenos sumados."),
        ("{t}, line {n}: ring {t} was not steady: its last two rates differ by {n} %; go on longer.", "{0}, línea {1}: el anillo {2} no era estable: sus dos últimos ritmos difieren {3} %; siga más tiempo."),
        ("{t}, line {n}: ring {t} has {n} readings after the start, and three are needed for a steady rate.", "{0}, línea {1}: el anillo {2} tiene {3} lecturas tras el comienzo, y hacen falta tres para un ritmo estable."),
        ("{t}, line {n}: point {t} meets no 2 MPa down to {q}; it counts as that deep.", "{0}, línea {1}: el punto {2} no encuentra 2 MPa hasta {3}; cuenta como esa profundidad."),
        ("{t}, line {n}: point {t} was read in dry ground, where everything is hard; compare only with readings of the same day.", "{0}, línea {1}: el punto {2} se leyó en suelo seco, donde todo está duro; compárelo solo con lecturas del mismo día."),
        ("{t}, line {n}: station {t} was read from {n} of four sides.", "{0}, línea {1}: la estación {2} se leyó desde {3} de cuatro lados."),
    ];
}
