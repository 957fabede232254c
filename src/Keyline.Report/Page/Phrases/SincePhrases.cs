namespace Keyline.Report;

/// <summary>Soil, season, what was driven, the trial, and what was not made.</summary>
internal static partial class Phrases
{
    public static readonly Phrase NavSoil = new("Soil", "Suelo");
    public static readonly Phrase NavSeason = new("When", "Cuándo");
    public static readonly Phrase NavDriven = new("Driven", "Recorrido");
    public static readonly Phrase NavTrial = new("Trial", "Ensayo");
    public static readonly Phrase NavNotMade = new("Not made", "Sin hacer");

    public static readonly Phrase NotMade = new("What was not made for this plan", "Lo que no se hizo para este plan");
    public static readonly Phrase NotMadeIntro = new("The report is silent on the following because nobody has made it yet, or it was not handed to “keyline report PLAN --with FOLDER”.", "El informe calla sobre lo siguiente porque aún nadie lo hizo, o no se entregó a «keyline report PLAN --with CARPETA».");
    public static readonly Phrase NotWater = new("What the lines do with rain: no storm was run on them (“keyline water”).", "Qué hacen las líneas con la lluvia: no se corrió ninguna tormenta («keyline water»).");
    public static readonly Phrase NotMachine = new("Hours, fuel and cost: the work was not reckoned with a machine (“keyline work”).", "Horas, combustible y costo: el trabajo no se calculó con una máquina («keyline work»).");
    public static readonly Phrase NotSoil = new("Whether this soil should be ripped at all, and how deep: it was not looked at, or not told (“keyline soil”). Dig before you pay for ripping.", "Si este suelo debe subsolarse, y a qué profundidad: no se miró, o no se dijo («keyline soil»). Excave antes de pagar el subsolado.");
    public static readonly Phrase NotSeason = new("In which weeks the soil is neither too wet nor too dry (“keyline season”).", "En qué semanas el suelo no está ni muy mojado ni muy seco («keyline season»).");
    public static readonly Phrase NotDriven = new("What was driven: no track was held against the plan (“keyline driven”).", "Qué se recorrió: ningún registro se comparó con el plan («keyline driven»).");
    public static readonly Phrase NotTrial = new("Whether it will have worked: no trial was laid out (“keyline trial”). Without strips left unripped nobody can tell what the ripping did from what the year did.", "Si habrá servido: no se trazó ningún ensayo («keyline trial»). Sin franjas sin subsolar nadie puede distinguir lo que hizo el subsolado de lo que hizo el año.");
    public static readonly Phrase InWords = new("In the words of the files", "En palabras de los archivos");
    public static readonly Phrase InEnglish = new("In the words of the files, in English", "En palabras de los archivos, en inglés");

    public static readonly Phrase Soil = new("The soil: rip or not, and how deep", "El suelo: subsolar o no, y a qué profundidad");
    public static readonly Phrase SoilLines = new("Of the length of the lines, {0} lies on land to rip, {1} on land where something comes first, {2} on land to leave, and {3} on land that nobody looked at.", "De la longitud de las líneas, {0} está en suelo para subsolar, {1} en suelo donde algo va primero, {2} en suelo para dejar, y {3} en suelo que nadie miró.");
    public static readonly Phrase SoilStop = new("Lines run over land that should not be ripped. Lay the plan out again with “--avoid” and the file avoid.geojson that “keyline soil” wrote, or leave those lines out.", "Hay líneas sobre suelo que no debe subsolarse. Trace de nuevo el plan con «--avoid» y el archivo avoid.geojson que escribió «keyline soil», o deje fuera esas líneas.");
    public static readonly Phrase SoilZoneHead = new("Land", "Tierra");
    public static readonly Phrase SoilAreaHead = new("Area", "Superficie");
    public static readonly Phrase SoilLinesHead = new("Lines on it", "Líneas encima");
    public static readonly Phrase SoilVerdictHead = new("What to do", "Qué hacer");
    public static readonly Phrase SoilWhyHead = new("Because of", "Por");
    public static readonly Phrase SoilDepthHead = new("Depth", "Profundidad");
    public static readonly Phrase SoilDepth = new("{0} to {1}", "{0} a {1}");
    public static readonly Phrase SoilDepthUnknown = new("not known", "no se sabe");
    public static readonly Phrase SoilCaution = new("Rules judge by what was read at a few places. Dig there and here; what the spade shows comes first.", "Las reglas juzgan por lo leído en pocos lugares. Excave allí y aquí; lo que muestra la pala va primero.");
    public static readonly Phrase AndMore = new("and {0} more", "y {0} más");

    public static readonly IReadOnlyDictionary<string, Phrase> SoilVerdict = new Dictionary<string, Phrase>
    {
        ["rip"] = new("rip", "subsolar"),
        ["test-strip-first"] = new("rip one strip first, and look after the next rain", "subsolar primero una franja y mirar tras la próxima lluvia"),
        ["rip-after"] = new("something else first", "antes, otra cosa"),
        ["do-not-rip"] = new("do not rip", "no subsolar"),
    };

    public static readonly IReadOnlyDictionary<string, Phrase> SoilStep = new Dictionary<string, Phrase>
    {
        ["rest and cover"] = new("rest and cover", "descanso y cobertura"),
        ["gypsum"] = new("gypsum", "yeso agrícola"),
        ["draining"] = new("draining", "drenaje"),
        ["weed control"] = new("weed control", "control de malezas"),
    };

    public static readonly IReadOnlyDictionary<string, Phrase> SoilRule = new Dictionary<string, Phrase>
    {
        ["rock"] = new("rock close below", "roca cerca de la superficie"),
        ["drainage"] = new("wetness: water has nowhere to go", "exceso de agua: no tiene salida"),
        ["sodium"] = new("clay that falls apart in water", "arcilla que se deshace en agua"),
        ["salt"] = new("salt", "sal"),
        ["sand"] = new("sand that takes water by itself", "arena que ya absorbe el agua"),
        ["clay"] = new("cracking clay", "arcilla que se agrieta"),
        ["slope"] = new("slope", "pendiente"),
        ["cover"] = new("too little cover", "poca cobertura"),
        ["weeds"] = new("weeds that would spread", "malezas que se extenderían"),
        ["pan"] = new("what is known of a hard layer", "lo que se sabe de una capa dura"),
        ["depth"] = new("depth", "profundidad"),
    };

    // By how the rule's sentence begins.
    public static readonly IReadOnlyList<(string Start, Phrase Said)> SoilPan =
    [
        ("A layer that stops", new("a hard layer that ripping can break", "una capa dura que el subsolado puede romper")),
        ("Nobody found", new("no hard layer was found", "no se encontró capa dura")),
        ("Whether a layer", new("nobody knows yet whether there is a hard layer", "aún no se sabe si hay capa dura")),
        ("The soil sets hard", new("it sets hard; how deep is not known", "se endurece; no se sabe hasta dónde")),
        ("The hardest layer", new("what the penetrometer read", "lo que leyó el penetrómetro")),
    ];

    public static readonly Phrase SoilAnswer = new("{0} of the lines lie on land that should not be ripped.", "{0} de las líneas están sobre suelo que no debe subsolarse.");

    public static readonly Phrase Season = new("When the soil is right", "Cuándo el suelo está a punto");
    public static readonly Phrase SeasonFor = new("Reckoned for {0}: {1}, tip at {2}; weather up to {3}.", "Calculado para {0}: {1}, punta a {2}; tiempo hasta el {3}.");
    public static readonly Phrase SeasonRight = new("On that day the soil at the tip was right.", "Ese día el suelo a la profundidad de la punta estaba a punto.");
    public static readonly Phrase SeasonRightFor = new("On that day the soil at the tip was right; without rain it is too dry in {0} days.", "Ese día el suelo a la profundidad de la punta estaba a punto; sin lluvia queda muy seco en {0} días.");
    public static readonly Phrase SeasonWet = new("On that day the soil at the tip was too wet.", "Ese día el suelo a la profundidad de la punta estaba muy mojado.");
    public static readonly Phrase SeasonWetFor = new("On that day the soil at the tip was too wet; without rain it is right in {0} days.", "Ese día el suelo a la profundidad de la punta estaba muy mojado; sin lluvia está a punto en {0} días.");
    public static readonly Phrase SeasonDry = new("On that day the soil at the tip was too dry.", "Ese día el suelo a la profundidad de la punta estaba muy seco.");
    public static readonly Phrase SeasonDryFor = new("On that day the soil at the tip was too dry; {0} of rain would reach it within a week.", "Ese día el suelo a la profundidad de la punta estaba muy seco; {0} de lluvia llegarían en una semana.");
    public static readonly Phrase SeasonBest = new("The week to aim for begins on {0}: in {1} of the years {2} right days on end began in it.", "La semana a la que apuntar empieza el {0}: en el {1} de los años empezaron en ella {2} días seguidos a punto.");
    public static readonly Phrase SeasonNever = new("In no week of any year did {0} right days on end begin.", "En ninguna semana de ningún año empezaron {0} días seguidos a punto.");
    public static readonly Phrase SeasonNeeds = new("The job needs {0} right days.", "El trabajo necesita {0} días a punto.");
    public static readonly Phrase SeasonMonths = new("Right days in each month: in half of the years, and from the tenth of the years with fewest to the tenth with most.", "Días a punto en cada mes: en la mitad de los años, y desde el décimo de los años con menos hasta el décimo con más.");
    public static readonly Phrase SeasonMonthHead = new("Month", "Mes");
    public static readonly Phrase SeasonHalfHead = new("Half of the years", "Mitad de los años");
    public static readonly Phrase SeasonSpreadHead = new("Few to many", "De pocos a muchos");
    public static readonly Phrase SeasonSpread = new("{0} to {1}", "{0} a {1}");
    public static readonly Phrase SeasonRest = new("In the other months there are none in nine years of ten.", "En los demás meses no hay ninguno en nueve de cada diez años.");
    public static readonly Phrase SeasonCaution = new("Reckoned from weather, not measured. Take soil from the depth of the tip and roll it: a thread means too wet, a hard clod too dry, crumbs are right.", "Calculado del tiempo, no medido. Tome suelo de la profundidad de la punta y ruédelo: un hilo es muy mojado, un terrón duro es muy seco, migajas es a punto.");
    public static readonly Phrase Date = new("{0} {1} {2}", "{0} de {1} de {2}");

    public static readonly IReadOnlyList<Phrase> Months =
    [
        new("January", "enero"), new("February", "febrero"), new("March", "marzo"), new("April", "abril"), new("May", "mayo"), new("June", "junio"),
        new("July", "julio"), new("August", "agosto"), new("September", "septiembre"), new("October", "octubre"), new("November", "noviembre"), new("December", "diciembre"),
    ];

    public static readonly Phrase Driven = new("What was driven", "Lo que se recorrió");
    public static readonly Phrase DrivenMuch = new("{0} of {1} was driven. Lines whole: {2}, in part: {3}, passed over: {4}, still to come: {5}.", "Se recorrió el {0} de {1}. Líneas enteras: {2}, en parte: {3}, omitidas: {4}, por recorrer: {5}.");
    public static readonly Phrase DrivenNear = new("95 % of that lies within {0} of its line; the worst place is {1} off. {2} of it keeps within the {3} allowed.", "El 95 % de eso queda a menos de {0} de su línea; el peor lugar está a {1}. El {2} cumple los {3} permitidos.");
    public static readonly Phrase DrivenApart = new("Neighbouring passes are {0} apart in the middle, 95 % of the length within {1} of what was planned there; {2} lie in strips wider than planned, {3} in narrower ones.", "Las pasadas vecinas están a {0} en el medio, el 95 % de la longitud a menos de {1} de lo planeado; {2} están en franjas más anchas que lo planeado, {3} en más angostas.");
    public static readonly Phrase DrivenGrade = new("95 % of the passes fall less than {0} along their course.", "El 95 % de las pasadas cae menos de {0} a lo largo.");
    public static readonly Phrase DrivenTwice = new("{0} were driven more than once.", "{0} se recorrieron más de una vez.");
    public static readonly Phrase DrivenAll = new("Everything up to here was driven as planned.", "Todo hasta aquí se recorrió como se planeó.");
    public static readonly Phrase DrivenKindHead = new("Not as planned", "No como se planeó");
    public static readonly Phrase DrivenStretchesHead = new("Stretches", "Tramos");
    public static readonly Phrase DrivenLengthHead = new("Together", "En total");
    public static readonly Phrase DrivenWorstHead = new("Worst", "El peor");
    public static readonly Phrase DrivenLinesHead = new("On lines", "En las líneas");

    public static readonly IReadOnlyDictionary<string, Phrase> DrivenKind = new Dictionary<string, Phrase>
    {
        ["skipped"] = new("passed over", "omitido"),
        ["repeated"] = new("driven twice", "recorrido dos veces"),
        ["off-line"] = new("off the line", "fuera de la línea"),
        ["too-steep"] = new("steeper than allowed", "más empinado que lo permitido"),
        ["steep-as-planned"] = new("steep, as the plan has it", "empinado, como en el plan"),
    };

    public static readonly Phrase Trial = new("Will it have worked?", "¿Habrá servido?");
    public static readonly Phrase TrialLots = new("A trial lies on this plan: {0} blocks with {1} plots, each about {2} long, treatments drawn by lot ({3}). It is made to show an effect of {4} times or more.", "Sobre este plan hay un ensayo: {0} bloques con {1} parcelas de unos {2} de largo, tratamientos por sorteo ({3}). Está hecho para mostrar un efecto de {4} veces o más.");
    public static readonly Phrase TrialFew = new("That takes about {0} blocks; with {1} an effect of that size may be there and not show.", "Eso requiere unos {0} bloques; con {1} un efecto de ese tamaño puede existir y no verse.");
    public static readonly Phrase TrialWatch = new("There is no room for a trial: {0} plots are watched before and after. That tells what changed, not why.", "No hay lugar para un ensayo: se observan {0} parcelas antes y después. Eso dice qué cambió, no por qué.");
    public static readonly Phrase TrialLeave = new("Leave unripped where the design says, on lines {0}. Whoever rips there ends the trial.", "Deje sin subsolar donde dice el diseño, en las líneas {0}. Quien subsole allí termina el ensayo.");
    public static readonly Phrase TrialNone = new("No readings were handed in yet (“keyline monitor”).", "Aún no se entregaron lecturas («keyline monitor»).");
    public static readonly Phrase TrialWorked = new("What the readings say of the work of {0}:", "Qué dicen las lecturas del trabajo del {0}:");
    public static readonly Phrase TrialRead = new("What the readings say:", "Qué dicen las lecturas:");
    public static readonly Phrase TrialMeasureHead = new("Measured", "Medido");
    public static readonly Phrase TrialAnswerHead = new("Held against the control", "Frente al testigo");
    public static readonly Phrase TrialEffectHead = new("How much", "Cuánto");
    public static readonly Phrase TrialSureHead = new("95 % sure", "95 % seguro");
    public static readonly Phrase TrialTimes = new("{0} times", "{0} veces");
    public static readonly Phrase TrialBetween = new("{0} to {1}", "{0} a {1}");
    public static readonly Phrase TrialOn = new("{0} ({1})", "{0}: {1}");
    public static readonly Phrase TrialSetAside = new("{0} rows could not be used; results.html says why.", "{0} filas no se pudieron usar; results.html dice por qué.");
    public static readonly Phrase TrialYearHead = new("Year", "Año");
    public static readonly Phrase TrialWorkHead = new("Work, as written down", "Trabajo, como se anotó");
    public static readonly Phrase TrialValuesHead = new("Values read", "Valores leídos");
    public static readonly Phrase TrialPhotosHead = new("Photographs", "Fotos");
    public static readonly Phrase TrialRainHead = new("Rain", "Lluvia");
    public static readonly Phrase TrialYears = new("A page for each year, with its pictures, lies beside the results (year-….html).", "Junto a los resultados hay una página por año, con sus gráficos (year-….html).");
    public static readonly Phrase TrialDue = new("Next readings are due on {0}.", "Las próximas lecturas tocan el {0}.");

    public static readonly IReadOnlyDictionary<string, Phrase> TrialAnswer = new Dictionary<string, Phrase>
    {
        ["more"] = new("more", "más"),
        ["less"] = new("less", "menos"),
        ["alike"] = new("about the same", "casi igual"),
        ["cannot tell"] = new("cannot tell", "no se puede decir"),
    };

    public static readonly IReadOnlyDictionary<string, Phrase> TrialMeasure = new Dictionary<string, Phrase>
    {
        ["infiltration"] = new("how fast water soaks in", "rapidez con que entra el agua"),
        ["infiltration-on-rip"] = new("how fast water soaks in, on the rip", "rapidez con que entra el agua, sobre el subsolado"),
        ["depth-to-2-mpa"] = new("depth of soft soil (to 2 MPa)", "profundidad de suelo blando (hasta 2 MPa)"),
        ["depth-to-2-mpa-on-rip"] = new("depth of soft soil (to 2 MPa), on the rip", "profundidad de suelo blando (hasta 2 MPa), sobre el subsolado"),
        ["obstruction"] = new("height of the sward (visual obstruction)", "altura del pasto (obstrucción visual)"),
        ["forage"] = new("forage", "forraje"),
    };

    public static readonly Phrase TrialCover = new("cover: {0}", "cobertura: {0}");
}
