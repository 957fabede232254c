namespace Keyline.Report;

/// <summary>The land, its valleys and their profiles.</summary>
internal static partial class Phrases
{
    public static readonly Phrase Profiles = new("Valleys and their keypoints", "Vaguadas y sus puntos clave");
    public static readonly Phrase ProfilesIntro = new(
        "A keypoint is where a valley’s steep upper floor meets its flatter lower floor. Each drawing shows a valley floor from its head (left) down: dots as measured, the line smoothed. The diamond marks the keypoint, the band the stretch it lies in nine times in ten.",
        "El punto clave es donde el fondo empinado de la vaguada se encuentra con el fondo más llano de abajo. Cada dibujo muestra el fondo de una vaguada desde su cabecera (izquierda) hacia abajo: los puntos son lo medido, la línea lo suavizado. El rombo marca el punto clave; la banda, el tramo donde está nueve de cada diez veces.");
    public static readonly Phrase ProfilesNone = new("No valley here is long enough for a profile.", "Aquí ninguna vaguada es bastante larga para un perfil.");
    public static readonly Phrase ProfilesMore = new("{0} more valleys that the plan knows of are not drawn here: they lie farther off, or have no keypoint.", "Otras {0} vaguadas que el plan conoce no se dibujan aquí: están más lejos o no tienen punto clave.");
    public static readonly Phrase ValleyTitle = new("Valley {0}", "Vaguada {0}");
    public static readonly Phrase ValleyText = new("{0} long, falling {1}, with {2} draining through its foot.", "{0} de largo, cae {1}, y {2} drenan por su pie.");
    public static readonly Phrase ValleyTextLevel = new("{0} long, with {1} draining through its foot.", "{0} de largo, y {1} drenan por su pie.");
    public static readonly Phrase ProfilesFolded = new("{0} more valleys", "{0} vaguadas más");
    public static readonly Phrase ProfileAlt = new("Long profile of valley {0}", "Perfil longitudinal de la vaguada {0}");
    public static readonly Phrase ProfileAcross = new("down the valley floor", "por el fondo de la vaguada");
    public static readonly Phrase KeypointClear = new("Clear keypoint {0} from the head at a height of {1}: the floor falls {2} above it and {3} below. Its place is sure to {4} up and {5} down the valley.", "Punto clave claro a {0} de la cabecera, a {1} de altura: el fondo cae {2} arriba y {3} abajo. Su lugar es seguro a {4} hacia arriba y {5} hacia abajo.");
    public static readonly Phrase KeypointWeak = new("Weak keypoint {0} from the head at a height of {1}: the floor falls {2} above it and {3} below. Walk to it before trusting it; it may lie {4} farther up or {5} farther down.", "Punto clave débil a {0} de la cabecera, a {1} de altura: el fondo cae {2} arriba y {3} abajo. Camine hasta él antes de fiarse; puede estar {4} más arriba o {5} más abajo.");
    public static readonly Phrase KeypointFlagged = new("Keypoint flagged in the field, {0} from the head at a height of {1}: the floor falls {2} above it and {3} below.", "Punto clave marcado en el campo, a {0} de la cabecera, a {1} de altura: el fondo cae {2} arriba y {3} abajo.");
    public static readonly Phrase KeypointNone = new("No break of slope stands out, so there is no keypoint here.", "No destaca ningún quiebre de pendiente, así que aquí no hay punto clave.");
    public static readonly Phrase ShowOnMap = new("Show on the map", "Ver en el mapa");

    public static readonly Phrase Land = new("What the land is", "Cómo es el terreno");
    public static readonly Phrase LandNearlyFlat = new("That is nearly flat: valleys, keypoints and the way of fall rest on a few centimetres of height here. Check them with a level on the ground before anything is driven by them.", "Eso es casi llano: vaguadas, puntos clave y caídas se apoyan aquí en pocos centímetros de altura. Compruébelos con nivel en el terreno antes de recorrer algo por ellos.");
    public static readonly Phrase LandValleys = new("The land is cut by valleys with keypoints; it slopes {0} on average over {1} of relief, with the land around the field.", "El terreno está cortado por vaguadas con puntos clave; su pendiente media es de {0} con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandValleysWeak = new("The land has valleys or hollows, but none with a clear keypoint; it slopes {0} on average over {1} of relief, with the land around the field.", "El terreno tiene vaguadas u hondonadas, pero ninguna con un punto clave claro; su pendiente media es de {0} con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandValleysWithoutKeypoint = new("The land is cut by valleys, but no floor has a break of slope that stands out; it slopes {0} on average over {1} of relief, with the land around the field.", "El terreno está cortado por vaguadas, pero en ningún fondo destaca un quiebre de pendiente; su pendiente media es de {0} con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandPlain = new("The land is nearly level: {0} on average over {1} of relief, with the land around the field.", "El terreno es casi llano: {0} de media con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandSlope = new("The land is one slope, {0} on average over {1} of relief, with the land around the field.", "El terreno es una sola ladera, {0} de media con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandDome = new("The land is a rise that falls away on all sides, {0} on average over {1} of relief, with the land around the field.", "El terreno es una loma que cae a todos lados, {0} de media con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandFan = new("The land spreads like a fan as it falls, {0} on average over {1} of relief, with the land around the field.", "El terreno se abre como un abanico al caer, {0} de media con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandHollow = new("The land draws together as it falls, without a valley floor to see, {0} on average over {1} of relief, with the land around the field.", "El terreno se cierra al caer, sin fondo de vaguada visible, {0} de media con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandRolling = new("The land rolls without valleys that stand out, {0} on average over {1} of relief, with the land around the field.", "El terreno es ondulado, sin vaguadas que destaquen, {0} de media con {1} de desnivel, contando el terreno alrededor del campo.");
    public static readonly Phrase LandFallsTo = new("On the whole it falls to the {0}.", "En conjunto cae hacia el {0}.");
    public static readonly Phrase LandCounts = new("Main valleys: {0}; primary valleys: {1}; minor hollows: {2}; ridges: {3}. Part of them lies around the field, not in it.", "Vaguadas principales: {0}; primarias: {1}; menores: {2}; lomas: {3}. Una parte queda alrededor del campo, no dentro.");
    public static readonly Phrase LandLongestLevel = new("The longest is valley {0}: {1} long, with {2} draining through its foot.", "La más larga es la vaguada {0}: {1} de largo, y {2} drenan por su pie.");
    public static readonly Phrase LandLongest = new("The longest is valley {0}: {1} long, falling {2}, with {3} draining through its foot.", "La más larga es la vaguada {0}: {1} de largo, cae {2}, y {3} drenan por su pie.");
    public static readonly Phrase LandWithout = new("Valleys in the field without a keypoint, by their numbers: {0}.", "Vaguadas del campo sin punto clave, por su número: {0}.");
    public static readonly Phrase LandShared = new("Valleys {0} can share one keyline at a height of {1}; their keypoints differ by {2}.", "Las vaguadas {0} pueden compartir una línea clave a {1} de altura; sus puntos clave difieren en {2}.");
    public static readonly Phrase LandRises = new("On one side of ridge {0}, going up, the keypoints of valleys {1} rise with it, as they should.", "A un lado de la loma {0}, subiendo, los puntos clave de las vaguadas {1} suben con ella, como debe ser.");
    public static readonly Phrase LandFallsBack = new("On one side of ridge {0}, going up, the keypoints of valleys {1} do not all rise: look again at those that fall back.", "A un lado de la loma {0}, subiendo, no todos los puntos clave de las vaguadas {1} suben: vuelva a mirar los que bajan.");
    public static readonly Phrase LandHollowEnd = new("Valley {0} ends in a closed hollow: look there for a dam, a sink or an error of the survey.", "La vaguada {0} termina en una hoya cerrada: busque allí una represa, un sumidero o un error de medición.");
    public static readonly Phrase LandPinFar = new("Flagged keypoints too far from every valley and left out: {0}.", "Puntos clave marcados demasiado lejos de toda vaguada y no usados: {0}.");
    public static readonly Phrase LandGeneral = new("With no keypoint to start from, the plan begins at the contour of {0}, {1} long.", "Sin punto clave de partida, el plan empieza en la curva de nivel de {0}, de {1} de largo.");
    public static readonly Phrase LandCaution = new("All this is read from elevation alone. Walk to every keypoint before you work from it.", "Todo esto se lee solo de las alturas. Camine hasta cada punto clave antes de trabajar desde él.");
    public static readonly Phrase SlopeTitle = new("Slope of the field", "Pendiente del campo");
    public static readonly Phrase AspectTitle = new("Which way the field faces", "Hacia dónde mira el campo");
    public static readonly Phrase ShareOfField = new("share of the field", "parte del campo");
    public static readonly Phrase SlopeAcross = new("slope", "pendiente");
    public static readonly Phrase North = new("north", "norte");
    public static readonly Phrase NorthEast = new("north-east", "noreste");
    public static readonly Phrase East = new("east", "este");
    public static readonly Phrase SouthEast = new("south-east", "sureste");
    public static readonly Phrase South = new("south", "sur");
    public static readonly Phrase SouthWest = new("south-west", "suroeste");
    public static readonly Phrase West = new("west", "oeste");
    public static readonly Phrase NorthWest = new("north-west", "noroeste");
}
