namespace Keyline.Report;

/// <summary>Head, way through the page, and the answer.</summary>
internal static partial class Phrases
{
    public static readonly Phrase Skip = new("To the answer", "Ir a la respuesta");
    public static readonly Phrase Subtitle = new("Plan of rip lines", "Plan de líneas de subsolado");
    public static readonly Phrase LanguageLabel = new("Language", "Idioma");
    public static readonly Phrase UnitsLabel = new("Units", "Unidades");
    public static readonly Phrase Print = new("Print", "Imprimir");
    public static readonly Phrase NoScript = new(
        "The map, the change of units and of language need a browser that runs scripts. All else can be read here; the map is also in plan.png.",
        "El mapa y el cambio de unidades y de idioma necesitan un navegador que ejecute scripts. Lo demás se puede leer aquí; el mapa está también en plan.png.");

    public static readonly Phrase NavValleys = new("Valleys", "Vaguadas");
    public static readonly Phrase NavLand = new("The land", "El terreno");
    public static readonly Phrase NavFigures = new("Figures", "Cifras");
    public static readonly Phrase NavComparison = new("Comparison", "Comparación");
    public static readonly Phrase NavFindings = new("Findings", "Hallazgos");
    public static readonly Phrase NavMachine = new("Cost", "Costo");
    public static readonly Phrase NavCautions = new("Cautions", "Cuidados");
    public static readonly Phrase NavSources = new("Sources", "Fuentes");
    public static readonly Phrase NavWater = new("Water", "Agua");

    public static readonly Phrase Answer = new("The answer", "La respuesta");
    public static readonly Phrase JobWhere = new(
        "On {0}, {1} rip lines are planned {2} apart, {3} in all, on {4} of the field’s {5}.",
        "En {0} se planean {1} líneas de subsolado a {2} una de otra, {3} en total, sobre {4} de las {5} del campo.");
    public static readonly Phrase ThisField = new("this field", "este campo");
    public static readonly Phrase JobWhyMeant = new(
        "They were meant to run close to the contour with a slight fall toward the ridges, so that rain soaks in where it falls.",
        "Debían ir casi a nivel con una leve caída hacia las lomas, para que la lluvia se infiltre donde cae.");
    public static readonly Phrase JobWhy = new(
        "They run close to the contour with a slight fall from the hollows toward the ridges, so that rain soaks in where it falls and what moves goes toward drier ground.",
        "Van casi a nivel, con una caída leve desde las vaguadas hacia las lomas, para que la lluvia se infiltre donde cae y lo que se mueva vaya hacia el suelo más seco.");
    public static readonly Phrase JobWhyMostly = new(
        "They run close to the contour, so that rain soaks in where it falls; where they fall, more of them lead water toward the ridges than toward the hollows.",
        "Van casi a nivel, para que la lluvia se infiltre donde cae; donde caen, más llevan el agua hacia las lomas que hacia las vaguadas.");
    public static readonly Phrase JobWhyLevel = new(
        "They run close to the contour, so that rain soaks in where it falls.",
        "Van casi a nivel, para que la lluvia se infiltre donde cae.");
    public static readonly Phrase JobBefore = new(
        "Before anyone drives, have buried pipes and cables located and marked, walk to the keypoints, and look at the places listed under Findings.",
        "Antes de entrar con la máquina, haga localizar y marcar tuberías y cables enterrados, camine hasta los puntos clave y mire los lugares de la lista de hallazgos.");
    public static readonly Phrase JobPoor = new(
        "This plan misses by far what was asked for: much of this ground is too steep or too broken for lines like these. Do not drive it as it stands; plan the better part of the field by itself, or ask whether it should be ripped at all.",
        "Este plan queda lejos de lo pedido: gran parte de este terreno es demasiado empinado o quebrado para líneas así. No lo recorra tal como está; planee aparte la mejor parte del campo, o pregunte si debe subsolarse.");
    public static readonly Phrase JobNothing = new("On {0} no line could be laid out; the findings and notes below say why.", "En {0} no se pudo trazar ninguna línea; los hallazgos y notas de abajo dicen por qué.");

    public static readonly Phrase Covered = new("Covered", "Cubierto");
    public static readonly Phrase CoveredText = new(
        "of the ground that can be worked lies within half a spacing of a line. {0} of the field can be worked; headland, avoided and steep ground is left out.",
        "del suelo que se puede trabajar queda a menos de media distancia de una línea. Se pueden trabajar {0} del campo; cabeceras, zonas a evitar y laderas fuertes quedan fuera.");
    public static readonly Phrase Falls = new("How it falls", "Cómo cae");
    public static readonly Phrase FallsText = new(
        "of the length that falls leads water toward the ridges; {0} of the length falls, the rest is about level. {1} of the length is no steeper along the line than {2}.",
        "de la longitud que cae lleva el agua hacia las lomas; cae el {0} de la longitud y el resto va casi a nivel. El {1} de la longitud no cae a lo largo más de {2}.");
    public static readonly Phrase FallsLevelText = new(
        "of the length is no steeper along the line than {0}; all lines are about level.",
        "de la longitud no cae a lo largo más de {0}; todas las líneas van casi a nivel.");
    public static readonly Phrase TheRule = new("the rule {0}", "la regla {0}");
    public static readonly Phrase Costs = new("What it costs", "Qué cuesta");
    public static readonly Phrase CostsUnknown = new(
        "Not reckoned yet. With a machine, “keyline work” gives hours, fuel and cost, and “keyline report” puts them here.",
        "Aún sin calcular. Con una máquina, «keyline work» da horas, combustible y costo, y «keyline report» los pone aquí.");
    public static readonly Phrase CostsText = new("of work and about {0} of fuel on usual soil; working days: {1}. ", "de trabajo y unos {0} de combustible en suelo corriente; jornadas: {1}. ");
    public static readonly Phrase CostsMoney = new("That comes to about {0} {1}.", "Eso suma unos {0} {1}.");
    public static readonly Phrase CostsNoMoney = new("The machine’s file gives no prices, so no cost is reckoned.", "El archivo de la máquina no da precios, así que no se calcula el costo.");
    public static readonly Phrase CostsNotPulled = new("The tractor does not pull this implement in the soil named.", "El tractor no puede con este implemento en el suelo indicado.");
    public static readonly Phrase Gains = new("What it gains", "Qué gana");
    public static readonly Phrase GainsUnknown = new(
        "Not reckoned yet. “keyline water” runs a storm before and after, and “keyline report” puts it here.",
        "Aún sin calcular. «keyline water» corre una tormenta antes y después, y «keyline report» la pone aquí.");
    public static readonly Phrase GainsText = new(
        "more water taken in over the field from one storm ({0}); {1} instead of {2} runs off. A model: soil can be ten times off within one field.",
        "más de agua infiltrada en el campo con una tormenta ({0}); escurren {1} en vez de {2}. Es un modelo: el suelo puede variar diez veces dentro de un campo.");
    public static readonly Phrase Doubtful = new("What is doubtful", "Qué está en duda");
    public static readonly Phrase DoubtfulPlaces = new("places to look at before driving: people, machine, land or water could come to harm there. {0} more only make the work less good.", "lugares que mirar antes de entrar: allí podrían dañarse personas, máquina, suelo o agua. Otros {0} solo hacen el trabajo menos bueno.");
    public static readonly Phrase DoubtfulWorkOnly = new("places on the lines were found where people, machine, land or water could come to harm; {0} others only make the work less good. The ground itself was not walked: look before you drive.", "lugares de las líneas se hallaron donde podrían dañarse personas, máquina, suelo o agua; otros {0} solo hacen el trabajo menos bueno. Nadie ha caminado el terreno: mire antes de entrar.");
    public static readonly Phrase DoubtfulNone = new("places fail what was asked for. The ground itself was not walked: look before you drive.", "lugares incumplen lo pedido. Nadie ha caminado el terreno: mire antes de entrar.");
    public static readonly Phrase DoubtfulSure = new("Given {0} of error in the heights, the way of fall is sure for {1} of the length that falls.", "Con {0} de error en las alturas, la caída es segura en el {1} de la longitud que cae.");
    public static readonly Phrase DoubtfulSmooth = new("The heights are so smooth that they do not show their error, so nobody can say how sure the fall is: check the first lines with a level.", "Las alturas son tan lisas que no muestran su error, así que nadie puede decir qué tan segura es la caída: compruebe las primeras líneas con nivel.");
    public static readonly Phrase DoubtfulLink = new("See the findings", "Ver los hallazgos");
    public static readonly Phrase Mind = new("Bear in mind", "Tenga en cuenta");
    public static readonly Phrase AsWritten = new("What stands here in English comes from the plan’s files.", "Lo que aquí está en inglés viene de los archivos del plan.");
}
