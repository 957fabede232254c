namespace Keyline.Report;

/// <summary>The page of a trial's design.</summary>
internal static class TrialWords
{
    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        ("A trial on {w}", "Un ensayo en {0}"), ("A monitored comparison on {w}", "Una comparación observada en {0}"),
        ("{n} blocks, {n} plots of {n} passes, lots drawn with the seed {n}.", "{0} bloques, {1} parcelas de {2} pasadas, sorteo con la semilla {3}."),
        ("This is no trial: it shows change, not its cause.", "Esto no es un ensayo: muestra el cambio, no su causa."),
        ("The field with the trial's blocks", "El campo con los bloques del ensayo"), ("Block {n} with its points", "Bloque {0} con sus puntos"),
        ("What it can show", "Qué puede mostrar"),
        ("To show a ratio of {n} with a chance of {n} %, where single rings vary by {n} %, takes {n} single rings a side if nothing else varied; with {n} rings a plot and plots that vary by {n} % it takes {n} blocks.",
            "Para mostrar una razón de {0} con probabilidad de {1} %, si los anillos varían {2} %, hacen falta {3} anillos por lado si nada más variara; con {4} anillos por parcela y parcelas que varían {5} % hacen falta {6} bloques."),
        ("{n} blocks of {n} plots, each {n} passes ({q}) by {q}, are laid out: the chance of showing a ratio of {n} is {n} %, and the smallest ratio they show with {n} % is {n}.",
            "Se trazan {0} bloques de {1} parcelas, cada una de {2} pasadas ({3}) por {4}: la probabilidad de mostrar una razón de {5} es {6} %, y la menor razón que muestran con {7} % es {8}."),
        ("{n} blocks of {n} plots, each {n} passes ({q}) by {q}, are laid out: the chance of showing a ratio of {n} is {n} %, and the smallest ratio they show with {n} % is beyond reason.",
            "Se trazan {0} bloques de {1} parcelas, cada una de {2} pasadas ({3}) por {4}: la probabilidad de mostrar una razón de {5} es {6} %, y la menor razón que muestran con {7} % pasa de lo razonable."),
        ("{n} blocks were wanted and {n} fit on like ground: more rings in each plot help only against what varies within plots.", "Se querían {0} bloques y caben {1} en suelo parecido: más anillos por parcela ayudan solo contra lo que varía dentro de las parcelas."),
        ("With {n} blocks a randomisation test cannot give less than p = {n}; the t interval stands on the bell shape of block differences.", "Con {0} bloques una prueba de aleatorización no puede dar menos de p = {1}; el intervalo de t supone que las diferencias de bloque siguen la campana."),
        ("Each plot is parted along its length into {t}, by lot: that factor is compared within plots.", "Cada parcela se divide a lo largo en {0}, por sorteo: ese factor se compara dentro de las parcelas."),
        ("Points are drawn at random between passes, {q} or more from a rip and outside wheel tracks {q} apart, {q} from a plot's ends.", "Los puntos se sortean entre pasadas, a {0} o más de una ranura y fuera de huellas de rueda a {1}, a {2} de los extremos de la parcela."),
        ("Points are drawn at random between passes, {q} or more from a rip and outside wheel tracks {q} apart, {q} from a plot's ends; every second ring, penetrometer point and core lies on a rip, or where one would be.", "Los puntos se sortean entre pasadas, a {0} o más de una ranura y fuera de huellas de rueda a {1}, a {2} de los extremos de la parcela; uno de cada dos anillos, puntos de penetrómetro y muestras va sobre una ranura, o donde estaría."),
        ("Passes lie so close that no ground between them is clear of rips and wheels: points lie midway.", "Las pasadas están tan cerca que entre ellas no queda suelo libre de ranuras y ruedas: los puntos van al medio."),
        ("No elevation was given: plots of a block are alike only by lying side by side.", "No se dieron alturas: las parcelas de un bloque se parecen solo por estar lado a lado."),
        ("This field cannot carry a trial: fewer than two blocks of {n} neighbouring passes {q} long lie on like ground in it (narrower plots with --passes, shorter ones with --length).", "Este campo no da para un ensayo: en él caben menos de dos bloques de {0} pasadas vecinas de {1} de largo en suelo parecido (parcelas más angostas con --passes, más cortas con --length)."),
        ("What is laid out instead is nothing, since not even single plots fit: it shows whether the ground changes, not why.", "En su lugar no se traza nada, porque no caben ni parcelas sueltas: mostraría si el suelo cambia, no por qué."),
        ("What is laid out instead is a monitored comparison at {n} places: it shows whether the ground changes, not why.", "En su lugar se traza una comparación observada en {0} lugares: muestra si el suelo cambia, no por qué."),
        ("A wet year, rest from grazing or another hand at the ring would look the same as ripping.", "Un año lluvioso, el descanso del pastoreo u otra mano en el anillo se verían igual que el subsolado."),
        ("To tell a cause, leave strips unripped in several fields and take each field as a block.", "Para decir la causa, deje franjas sin subsolar en varios campos y tome cada campo como un bloque."),
        ("How to keep it honest", "Cómo hacerlo con honradez"),
        ("Measure every plot before ripping: a difference that was there before is then taken off.", "Mida cada parcela antes de subsolar: así se descuenta la diferencia que ya había."),
        ("Measure all plots of a block on one day, by one person, in the order of the sheets; where two share the work, each takes whole blocks.", "Mida todas las parcelas de un bloque el mismo día, la misma persona, en el orden de las hojas; si son dos, cada una toma bloques enteros."),
        ("Do not swap a plot because it looks poor: the lots are drawn.", "No cambie una parcela porque se ve pobre: el sorteo ya está hecho."),
        ("Passes between plots are worked as the field is and not measured. In the control lift the implement; the strips are in avoid.geojson for the plan and the display.", "Las pasadas entre parcelas se trabajan como el campo y no se miden. En el testigo levante el implemento; las franjas están en avoid.geojson para el plan y la pantalla."),
        ("Write nothing down twice: fill in readings/*.csv, add rows with the next date at the next visit, and keep earlier rows.", "No copie nada dos veces: llene readings/*.csv, agregue filas con la nueva fecha en la próxima visita y conserve las anteriores."),
        ("Plots", "Parcelas"), ("Plot", "Parcela"), ("Treatment", "Tratamiento"), ("Part", "Parte"), ("Lines", "Líneas"), ("Position", "Posición"), ("0 valley, 1 ridge", "0 vaguada, 1 loma"), ("Slope %", "Pendiente %"),
        ("Block {n}", "Bloque {0}"), ("Block {n}, {t}", "Bloque {0}, {1}"),
        ("R ring, P penetrometer, Q quadrat, V pole, C clip, S soil core, F photo with its bearing. Filled: on a rip.", "R anillo, P penetrómetro, Q cuadro, V vara, C corte, S muestra de suelo, F foto con su rumbo. Lleno: sobre una ranura."),
    ];
}
