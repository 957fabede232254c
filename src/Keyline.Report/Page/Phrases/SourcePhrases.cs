namespace Keyline.Report;

/// <summary>Cautions, sources, how it was made, signatures.</summary>
internal static partial class Phrases
{
    public static readonly Phrase CautionsTitle = new("Before you drive", "Antes de entrar con la máquina");

    /// <summary>The cautions, in the order to read them.</summary>
    public static readonly IReadOnlyList<Phrase> Cautions =
    [
        new(
            "Have buried lines located and marked before ripping: in the USA call 811 some business days ahead, elsewhere the local service. Ripping 12 in (305 mm) deep or deeper commonly needs this notice, and depths and waiting times differ by state. Private lines (water, drains, power to sheds) are not marked by such services: ask the owner.",
            "Haga localizar y marcar las líneas enterradas antes de subsolar: en EE. UU. llame al 811 con días hábiles de anticipación; en otros países, al servicio local. Subsolar a 305 mm (12 pulgadas) o más suele exigir este aviso, y profundidades y plazos cambian según el estado. Las líneas privadas (agua, drenes, electricidad de galpones) no las marca ese servicio: pregunte al dueño."),
        new(
            "Lines near the contour put the tractor on a side slope. The plan leaves out land steeper than asked for, measured on the elevation data, not under the wheels: holes, banks, stumps, wet ground and turning with the implement raised can tip a machine on gentler land. Keep to the slope in the machine's manual (those of ride-on machines commonly end at 15 degrees, 27 %).",
            "Las líneas casi a nivel ponen el tractor de lado en la ladera. El plan deja fuera el suelo más empinado de lo pedido, medido en los datos de altura y no bajo las ruedas: hoyos, bordos, tocones, suelo mojado o girar con el implemento levantado pueden volcar una máquina en suelo más suave. Respete la pendiente del manual (en máquinas con conductor suele terminar en 15 grados, 27 %)."),
        new(
            "Rip only when the soil crumbles down to the depth of the point: too wet it smears and seals, too dry it breaks out in blocks and costs power. Editions of the practice standard differ, from drier than 30 % to 30 to 50 % of field capacity.",
            "Subsole solo cuando el suelo se desmorona hasta la profundidad de la punta: muy mojado se embarra y sella, muy seco sale en bloques y cuesta potencia. Las ediciones de la norma de práctica difieren: de menos del 30 % a 30–50 % de la capacidad de campo."),
        new(
            "Lines carry water. See that whatever leaves a line reaches a stable outlet (a ridge that spreads it, a grassed waterway, a dam inlet) and not a track, a bank or a neighbour. Steeper or bare lines, and rain before cover has grown back, can turn a rip line into a gully.",
            "Las líneas llevan agua. Cuide que lo que salga de una línea llegue a un desagüe firme (una loma que la reparta, un cauce empastado, la entrada de una represa) y no a un camino, un bordo o un vecino. Las líneas empinadas o desnudas, y la lluvia antes de que vuelva la cubierta, pueden hacer de una línea una cárcava."),
        new(
            "Walk the keypoints and the first lines with a level before working the field. Elevation data may be older than the last earthworks, and brush, crops and buildings can stand in it as ground.",
            "Camine los puntos clave y las primeras líneas con un nivel antes de trabajar el campo. Los datos de altura pueden ser anteriores a los últimos movimientos de tierra, y matorral, cultivos y construcciones pueden figurar como suelo."),
        new(
            "This plan is an aid to design, not engineering advice. Local codes, water law and conservation standards, and the judgement of licensed or accredited people on the ground, come before it; dams, diversions and work near streams, wetlands or archaeological sites need their approval.",
            "Este plan es una ayuda para el diseño, no un dictamen de ingeniería. Las normas locales, la ley de aguas y las normas de conservación, y el juicio de profesionales habilitados en el terreno, van primero; represas, desvíos y obras junto a arroyos, humedales o sitios arqueológicos necesitan su aprobación."),
    ];

    public static readonly Phrase Assumptions = new("Taken as given", "Lo que se da por supuesto");
    public static readonly Phrase Sources = new("Sources and datum", "Fuentes y datum");
    public static readonly Phrase SourceRole = new("Used as", "Se usó como");
    public static readonly Phrase SourceFile = new("File", "Archivo");
    public static readonly Phrase SourceHash = new("SHA-256 of its bytes", "SHA-256 de sus bytes");
    public static readonly Phrase SourceLicence = new("Licence and source of the data", "Licencia y procedencia de los datos");
    public static readonly Phrase SourceLicenceText = new("The files do not say under which licence they may be used. Write it here, with the name the supplier wants to be given:", "Los archivos no dicen con qué licencia pueden usarse. Escríbala aquí, con el nombre que pida el proveedor:");
    public static readonly Phrase SourceCrs = new("Coordinate system: {0}, grid north up.", "Sistema de coordenadas: {0}, norte de cuadrícula arriba.");
    public static readonly Phrase SourceCell = new("Heights on cells of {0}.", "Alturas en celdas de {0}.");
    public static readonly Phrase RoleDem = new("elevation", "alturas");
    public static readonly Phrase RoleField = new("field", "campo");
    public static readonly Phrase RoleAvoid = new("avoided areas", "zonas a evitar");
    public static readonly Phrase RolePinned = new("pinned guides", "guías fijadas");
    public static readonly Phrase RoleOutlets = new("outlets", "desagües");
    public static readonly Phrase RoleGate = new("gate", "tranquera");
    public static readonly Phrase RoleFlagged = new("flagged keypoints", "puntos clave marcados");
    public static readonly Phrase RoleMachine = new("machine", "máquina");
    public static readonly Phrase NoHash = new("not taken: a file above 2 GB", "no tomado: archivo de más de 2 GB");

    public static readonly Phrase Made = new("How it was made", "Cómo se hizo");
    public static readonly Phrase MadeText = new("Made with {0}. The same files and the same options give the same plan, to the byte.", "Hecho con {0}. Los mismos archivos y las mismas opciones dan el mismo plan, byte por byte.");
    public static readonly Phrase OptionHead = new("Option", "Opción");
    public static readonly Phrase OptionValueHead = new("Value", "Valor");
    public static readonly Phrase OptionSpacing = new("distance between lines (--spacing)", "distancia entre líneas (--spacing)");
    public static readonly Phrase OptionGrade = new("steepest grade along a line (--max-grade)", "mayor pendiente a lo largo (--max-grade)");
    public static readonly Phrase OptionFall = new("design fall toward the ridge (--fall)", "caída de diseño hacia la loma (--fall)");
    public static readonly Phrase OptionRadius = new("tightest bend (--min-radius)", "curva más cerrada (--min-radius)");
    public static readonly Phrase OptionHeadland = new("headland (--headland)", "cabecera (--headland)");
    public static readonly Phrase OptionLength = new("shortest line (--min-length)", "línea más corta (--min-length)");
    public static readonly Phrase OptionSlope = new("steepest land worked (--max-slope)", "ladera más fuerte (--max-slope)");
    public static readonly Phrase OptionSide = new("steepest side slope (--side-slope)", "mayor pendiente lateral (--side-slope)");
    public static readonly Phrase OptionPattern = new("pattern (--pattern)", "patrón (--pattern)");
    public static readonly Phrase OptionShanks = new("shanks on the implement (--shanks)", "púas del implemento (--shanks)");
    public static readonly Phrase PatternEven = new("even", "parejo (even)");
    public static readonly Phrase PatternParallel = new("parallel", "paralelo (parallel)");
    public static readonly Phrase PatternStraight = new("straight", "recto (straight)");
    public static readonly Phrase PatternOneKeyline = new("one keyline, paralleled", "una línea clave y sus paralelas (one-keyline)");
    public static readonly Phrase Smoothing = new("The landform was read from ground smoothed over {0}; lines were measured on the ground as delivered.", "El relieve se leyó en el suelo suavizado sobre {0}; las líneas se midieron en el suelo tal como vino.");

    public static readonly Phrase Sign = new("Agreed", "Conformidad");
    public static readonly Phrase SignText = new("Signing says that this plan was read and talked over; it moves no duty of care from the person who drives.", "La firma dice que este plan se leyó y se conversó; no quita responsabilidad a quien conduce.");
    public static readonly Phrase SignOwner = new("Landholder", "Dueño o responsable del campo");
    public static readonly Phrase SignConsultant = new("Consultant", "Asesor");
    public static readonly Phrase SignDriver = new("Driver", "Conductor");
    public static readonly Phrase SignName = new("Name", "Nombre");
    public static readonly Phrase SignSignature = new("Signature", "Firma");
    public static readonly Phrase SignDate = new("Date", "Fecha");
    public static readonly Phrase SignChanges = new("Changes agreed on", "Cambios acordados");
}
