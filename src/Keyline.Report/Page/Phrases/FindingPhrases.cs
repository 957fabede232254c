using Keyline.Check;

namespace Keyline.Report;

/// <summary>Findings: what, why it matters, what to do.</summary>
internal static partial class Phrases
{
    public static readonly Phrase Findings = new("Findings, the worst first", "Hallazgos, primero los peores");
    public static readonly Phrase FindingsIntro = new("Places where the plan does not keep what was asked for, ranked by the harm they could do.", "Lugares donde el plan no cumple lo pedido, por el daño que podrían causar.");
    public static readonly Phrase FindingsTap = new("A tap shows the place on the map.", "Toque uno para verlo en el mapa.");
    public static readonly Phrase FindingsNone = new("The check found nothing that breaks what was asked for. It knows only the elevation data: look before you drive.", "El control no encontró nada que incumpla lo pedido. Solo conoce las alturas: mire antes de entrar.");
    public static readonly Phrase HarmPeople = new("Could hurt people or the machine", "Podría dañar a personas o a la máquina");
    public static readonly Phrase HarmLand = new("Could harm land or water", "Podría dañar el suelo o el agua");
    public static readonly Phrase HarmWork = new("Makes the work less good", "Hace el trabajo menos bueno");
    public static readonly Phrase MoreSuch = new("{0} more such", "{0} más de este tipo");
    public static readonly Phrase Places = new("Places: {0}", "Lugares: {0}");
    public static readonly Phrase FindingLine = new("Line {0}", "Línea {0}");
    public static readonly Phrase FindingLineAt = new("Line {0}, {1} from its start", "Línea {0}, a {1} de su comienzo");
    public static readonly Phrase FindingLineStart = new("Line {0}, at its start", "Línea {0}, en su comienzo");
    public static readonly Phrase FindingLineEnd = new("Line {0}, at its end", "Línea {0}, en su final");
    public static readonly Phrase FindingFallsTo = new("and the line runs down to it for {0}", "y la línea baja hacia allí por {0}");
    public static readonly Phrase FindingDrop = new("the land beyond falls {0}", "más allá el terreno cae {0}");
    public static readonly Phrase FindingBare = new("{0} to the next line", "{0} hasta la línea vecina");
    public static readonly Phrase FindingAsked = new("Asked for: {0}.", "Se pidió: {0}.");
    public static readonly Phrase FindingAskedDrop = new("Told of where the land beyond falls more than {0}.", "Se señala donde el terreno de más allá cae más de {0}.");
    public static readonly Phrase FindingAskedBare = new("Told of where the next line is more than {0} off.", "Se señala donde la línea vecina queda a más de {0}.");
    public static readonly Phrase FindingValue = new("{0}; asked for {1}", "{0}; se pidió {1}");
    public static readonly Phrase FindingOfLine = new("{0} of its length", "{0} de su longitud");
    public static readonly Phrase FindingAlong = new("along {0}", "a lo largo de {0}");
    public static readonly Phrase FindingNextFar = new("in places nothing within {0} on {1}; the next line that way is {2}, {3} off", "en partes nada a menos de {0} {1}; la línea siguiente por ese lado es {2}, a {3}");
    public static readonly Phrase FindingNoneBeyond = new("in places nothing within {0} on {1}, and no other line that way", "en partes nada a menos de {0} {1}, y ninguna otra línea por ese lado");
    public static readonly Phrase OnTheLeft = new("its left", "a su izquierda");
    public static readonly Phrase OnTheRight = new("its right", "a su derecha");
    public static readonly Phrase OnOneSide = new("one side", "por un lado");

    /// <summary>What is wrong, by kind.</summary>
    public static readonly IReadOnlyDictionary<FindingKind, Phrase> FindingTitle = new Dictionary<FindingKind, Phrase>
    {
        [FindingKind.TooSteepAlongLine] = new("Steeper along the line than asked for", "Más pendiente a lo largo de la línea de lo pedido"),
        [FindingKind.TurnTooTight] = new("Bends tighter than asked for", "Curvas más cerradas de lo pedido"),
        [FindingKind.LinesCross] = new("Lines cross or touch", "Líneas que se cruzan o se tocan"),
        [FindingKind.TooClose] = new("Closer to another line than half the spacing", "Más cerca de otra línea que media distancia"),
        [FindingKind.OutsideField] = new("Leaves the field", "Sale del campo"),
        [FindingKind.InAvoidedArea] = new("Enters what is to be avoided", "Entra en lo que hay que evitar"),
        [FindingKind.TooShort] = new("Shorter than asked for", "Más corta de lo pedido"),
        [FindingKind.OverMissingGround] = new("Runs over ground that is not known", "Pasa por suelo sin datos"),
        [FindingKind.SpacingOff] = new("Next line farther or nearer than asked for", "Línea vecina más lejos o más cerca de lo pedido"),
        [FindingKind.InHeadland] = new("Enters the headland", "Entra en la cabecera"),
        [FindingKind.OnSteepLand] = new("On land steeper than asked for", "En ladera más fuerte de lo pedido"),
        [FindingKind.SideSlopeTooSteep] = new("Tilts the tractor too far sideways", "Inclina demasiado el tractor de lado"),
        [FindingKind.FallsTooFar] = new("Falls one way too far without an outlet", "Cae demasiado lejos sin desagüe"),
        [FindingKind.TooLevel] = new("Flatter than asked for", "Más a nivel de lo pedido"),
        [FindingKind.DriftsToValley] = new("Leads water toward the valley", "Lleva el agua hacia la vaguada"),
        [FindingKind.DrainsToWet] = new("Leads water to wet or saline ground", "Lleva el agua a suelo húmedo o salino"),
        [FindingKind.BareStrip] = new("Leaves a strip bare beside it", "Deja una franja sin subsolar al lado"),
        [FindingKind.EndsAboveDrop] = new("Ends above a drop", "Termina sobre un desnivel"),
    };

    /// <summary>Why it matters and what to do, by kind.</summary>
    public static readonly IReadOnlyDictionary<FindingKind, Phrase> FindingAdvice = new Dictionary<FindingKind, Phrase>
    {
        [FindingKind.TooSteepAlongLine] = new("Water gathers speed there and can cut the soil. Lift the implement over the stretch, or check the grade with a level.", "Allí el agua toma velocidad y puede cortar el suelo. Levante el implemento en el tramo o compruebe la pendiente con un nivel."),
        [FindingKind.TurnTooTight] = new("The implement cannot follow in the ground. Lift there, or drive wider.", "El implemento no puede seguir clavado. Levántelo allí o abra la curva."),
        [FindingKind.LinesCross] = new("One pass tears open the other. Stop the later line short.", "Una pasada rompe la otra. Corte antes la línea que va después."),
        [FindingKind.TooClose] = new("The ground is ripped twice. One of the two may be left out.", "El suelo se subsola dos veces. Puede dejarse una de las dos."),
        [FindingKind.OutsideField] = new("Fences, tracks or neighbours may be there. Stop at the boundary.", "Puede haber cercas, caminos o vecinos. Pare en el lindero."),
        [FindingKind.InAvoidedArea] = new("What is kept clear of may be a pipe, a cable, a bank or trees. Do not drive it before you know.", "Lo que se evita puede ser una tubería, un cable, un bordo o árboles. No pase sin saberlo."),
        [FindingKind.TooShort] = new("Hardly worth the turn. Leave it out if you like.", "Apenas vale la vuelta. Puede dejarse."),
        [FindingKind.OverMissingGround] = new("Nothing is known of the ground there. Walk it first.", "No se sabe nada del suelo allí. Camínelo primero."),
        [FindingKind.SpacingOff] = new("Land that bends spreads or squeezes lines. Where it opens wide a short extra pass can be driven by eye.", "El terreno que curva abre o cierra las líneas. Donde se abren mucho cabe una pasada corta a ojo."),
        [FindingKind.InHeadland] = new("Room to turn is short there. Turn with care.", "Allí falta espacio para dar vuelta. Gire con cuidado."),
        [FindingKind.OnSteepLand] = new("A tractor can tip or slide. Walk it, keep to the machine’s manual, and leave the stretch out if in doubt.", "El tractor puede volcar o resbalar. Camínelo, respete el manual de la máquina y deje el tramo si duda."),
        [FindingKind.SideSlopeTooSteep] = new("A tractor can tip over. Do not drive it unless the machine’s manual allows it and you have walked it.", "El tractor puede volcar. No pase si el manual de la máquina no lo permite y no lo ha caminado."),
        [FindingKind.FallsTooFar] = new("Water gathers on its way. Break the line, or give it an outlet that holds.", "El agua se junta por el camino. Corte la línea o dele un desagüe firme."),
        [FindingKind.TooLevel] = new("Water stands instead of moving. Often no harm.", "El agua se queda en vez de moverse. A menudo no hace daño."),
        [FindingKind.DriftsToValley] = new("Water goes to the hollow that has enough already. Leave the line out, or drive it as level as you can.", "El agua va a la vaguada, que ya tiene bastante. Deje la línea o llévela lo más a nivel que pueda."),
        [FindingKind.DrainsToWet] = new("More water makes the place wetter or saltier. Stop the line short of it.", "Más agua hace el lugar más húmedo o salino. Corte la línea antes."),
        [FindingKind.BareStrip] = new("A strip wide enough for another line stays unripped. Drive it by eye beside the line if you want it.", "Queda una franja donde cabría otra línea. Pásela a ojo junto a la línea si la quiere."),
        [FindingKind.EndsAboveDrop] = new("The line’s water would pour over the edge and cut a gully. Lift well short of it, so that the end lies on firm, covered ground.", "El agua de la línea caería por el borde y abriría una cárcava. Levante bastante antes, para que el extremo quede en suelo firme y cubierto."),
    };

    /// <summary>Short words for the map, by kind.</summary>
    public static Phrase Titled(FindingKind kind) => FindingTitle[kind];
}
