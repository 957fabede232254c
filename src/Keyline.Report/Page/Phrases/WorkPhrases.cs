namespace Keyline.Report;

/// <summary>Order of work, water, machine.</summary>
internal static partial class Phrases
{
    public static readonly Phrase Order = new("Order of work", "Orden del trabajo");
    public static readonly Phrase OrderIntro = new("Lines are numbered in the order they are driven: {0} first, {1} last. In that order {2} are driven, {3} of it between lines in {4} turns.", "Las líneas llevan el número del orden en que se recorren: primero {0}, última {1}. Así se recorren {2}, de ellos {3} entre líneas en {4} vueltas.");
    public static readonly Phrase OrderStep1 = new("Buried services located and marked, private ones too.", "Servicios enterrados localizados y marcados, también los privados.");
    public static readonly Phrase OrderStep2 = new("Keypoints walked to; weak ones confirmed or dropped.", "Puntos clave caminados; los débiles confirmados o descartados.");
    public static readonly Phrase OrderStep3 = new("Findings that could hurt people, machine, land or water looked at, and lines changed or left out.", "Vistos los hallazgos que podrían dañar personas, máquina, suelo o agua; líneas cambiadas o quitadas.");
    public static readonly Phrase OrderStep4 = new("Soil crumbles down to the depth of the point: neither wet nor bone dry.", "El suelo se desmorona hasta la profundidad de la punta: ni mojado ni seco del todo.");
    public static readonly Phrase OrderStep5 = new("First line checked with a level on the ground.", "Primera línea comprobada con nivel en el terreno.");
    public static readonly Phrase OrderStep6 = new("Lines driven in order; those near avoided ground with a second person looking.", "Líneas recorridas en orden; junto a lo que se evita, con otra persona mirando.");
    public static readonly Phrase OrderStep7 = new("After the first rain: ends, crossings of hollows and bare strips looked at.", "Tras la primera lluvia: mirados extremos, cruces de vaguadas y franjas sin subsolar.");
    public static readonly Phrase OrderTable = new("All lines in driving order", "Todas las líneas en orden");
    public static readonly Phrase LeftOut = new("Left out or noted by the plan", "Dejado fuera o anotado por el plan");

    public static readonly Phrase Water = new("Water before and after", "El agua antes y después");
    public static readonly Phrase WaterAnswer = new("In the storm that was run, some lines let water go faster than fresh soil stands: it would cut there.", "En la tormenta calculada, algunas líneas sueltan el agua más rápido de lo que aguanta el suelo fresco: allí cortaría.");
    public static readonly Phrase Storm = new("{0} in {1}", "{0} en {1}");
    public static readonly Phrase StormShaped = new("{0} in {1}, {2}", "{0} en {1}, {2}");
    public static readonly Phrase WaterIntro = new("Storm: {0}. Soil: {1}.", "Tormenta: {0}. Suelo: {1}.");
    public static readonly Phrase WaterCaseHead = new("Layout", "Trazado");
    public static readonly Phrase WaterTakenHead = new("Taken in", "Infiltrado");
    public static readonly Phrase WaterHollowHead = new("In the hollows", "En las vaguadas");
    public static readonly Phrase WaterSpurHead = new("On the spurs", "En las lomas");
    public static readonly Phrase WaterRunoffHead = new("Runs off", "Escurre");
    public static readonly Phrase WaterPeakHead = new("Peak flow", "Caudal máximo");
    public static readonly Phrase WaterLinesHead = new("Lines", "Líneas");
    public static readonly Phrase WaterCaution = new("A model of water is an aid to judgement, not engineering advice; how fast soil takes water may be ten times off within one field: measure it.", "Un modelo del agua ayuda a juzgar, no es un dictamen de ingeniería; la infiltración puede variar diez veces dentro de un campo: mídala.");
    public static readonly Phrase WaterMost = new("Lines that spill most: {0}.", "Líneas que más rebosan: {0}.");
    public static readonly Phrase WaterColour = new("The map can be coloured by water.", "El mapa se puede colorear por agua.");
    public static readonly Phrase MoreSaid = new("More that was found", "Más que se encontró");
    public static readonly Phrase CaseBefore = new("as it is", "como está");
    public static readonly Phrase CasePlan = new("with the plan", "con el plan");

    public static readonly Phrase Machine = new("Machine and cost", "Máquina y costo");
    public static readonly Phrase MachineHours = new("Time", "Tiempo");
    public static readonly Phrase MachineRipping = new("in the ground", "con la punta en el suelo");
    public static readonly Phrase MachineTurning = new("turning", "en vueltas");
    public static readonly Phrase MachineOther = new("ways round, lifting and filling up", "rodeos, levantes y cargas de combustible");
    public static readonly Phrase MachineFuel = new("Fuel", "Combustible");
    public static readonly Phrase MachineDraft = new("Pull of the implement", "Tiro del implemento");
    public static readonly Phrase MachineEngine = new("Power at the engine", "Potencia en el motor");
    public static readonly Phrase MachineSpeed = new("Speed", "Velocidad");
    public static readonly Phrase MachineDepth = new("Depth of work", "Profundidad de trabajo");
    public static readonly Phrase MachineDays = new("Working days", "Jornadas");
    public static readonly Phrase MachineCost = new("Cost", "Costo");
    public static readonly Phrase MachineCostText = new("{0} in all, {1}", "{0} en total, {1}");
    public static readonly Phrase MachineEasy = new("easy soil", "suelo fácil");
    public static readonly Phrase MachineUsual = new("usual soil", "suelo corriente");
    public static readonly Phrase MachineHard = new("hard soil", "suelo duro");
    public static readonly Phrase MachineYear = new("Year {0}", "Año {0}");
    public static readonly Phrase MachineFits = new("{0} turns between lines need a look before driving: the machine has no room for them, or they go over steep land.", "{0} vueltas entre líneas piden una mirada antes de entrar: la máquina no tiene espacio o pasan por ladera fuerte.");
    public static readonly Phrase MachineServices = new("Located services", "Servicios localizados");
    public static readonly Phrase MachineServicesText = new("cleared by {0}, ticket {1}, until {2}", "autorizado por {0}, folio {1}, hasta {2}");
    public static readonly Phrase MachineServicesNone = new("No record that buried services were located. Do not rip before pipes and cables have been located and marked.", "No consta que se hayan localizado los servicios enterrados. No subsole antes de localizar y marcar tuberías y cables.");
}
