namespace Keyline.Report;

/// <summary>Figures with what they mean, histograms and the comparison.</summary>
internal static partial class Phrases
{
    public static readonly Phrase Figures = new("The figures, and what they mean", "Las cifras y qué significan");
    public static readonly Phrase FiguresIntro = new("“Usual” is the range, and the middle, of what this program gave on thirteen real fields of many kinds at 10 ft and a limit of 2 %, measured by another program; it is no standard.", "«Lo usual» es el rango, y el valor medio, de lo que este programa dio en trece campos reales de muchas clases a 10 pies y límite de 2 %, medido por otro programa; no es una norma.");
    public static readonly Phrase FigureHead = new("Figure", "Cifra");
    public static readonly Phrase ValueHead = new("Here", "Aquí");
    public static readonly Phrase MeaningHead = new("What it means", "Qué significa");
    public static readonly Phrase UsualHead = new("What would be usual", "Lo usual");

    public static readonly Phrase FigureLength = new("Length of all lines", "Longitud de todas las líneas");
    public static readonly Phrase FigureLengthMeans = new("What is ripped; with the spacing it gives the area.", "Lo que se subsola; con la distancia entre líneas da la superficie.");
    public static readonly Phrase FigureLengthUsual = new("about {0} for this ground and spacing", "unos {0} para este suelo y esta distancia");
    public static readonly Phrase FigureMean = new("Mean length of a line", "Longitud media de una línea");
    public static readonly Phrase FigureMeanMeans = new("Short lines mean more turns and lifts for the same work.", "Las líneas cortas exigen más vueltas y levantes para el mismo trabajo.");
    public static readonly Phrase FigureMeanUsual = new("{0} to {1}, middle {2}", "{0} a {1}, medio {2}");
    public static readonly Phrase FigureCoverage = new("Ground reached", "Suelo alcanzado");
    public static readonly Phrase FigureCoverageMeans = new("Share of the workable ground within half a spacing of a line; the rest stays unripped.", "Parte del suelo trabajable a menos de media distancia de una línea; el resto queda sin subsolar.");
    public static readonly Phrase FigureCoverageUsual = new("86 to 98 %, middle 95 %", "86 a 98 %, medio 95 %");
    public static readonly Phrase FigureGrade = new("Length within the grade limit", "Longitud dentro del límite de pendiente");
    public static readonly Phrase FigureGradeMeans = new("A line steeper than {0} along its course can gather speed and cut the soil.", "Una línea con más de {0} a lo largo puede tomar velocidad y cortar el suelo.");
    public static readonly Phrase FigureGradeUsual = new("95 to 100 %, middle 99 %", "95 a 100 %, medio 99 %");
    public static readonly Phrase FigureGrade95 = new("Grade that 95 % of the length keeps below", "Pendiente que no pasa el 95 % de la longitud");
    public static readonly Phrase FigureGrade95Means = new("How steep the steeper stretches are, measured over {0}.", "Qué tan empinados son los tramos más fuertes, medidos sobre {0}.");
    public static readonly Phrase FigureGrade95Usual = new("below the limit of {0}", "menos que el límite de {0}");
    public static readonly Phrase FigureRidge = new("Falls toward the ridge", "Cae hacia la loma");
    public static readonly Phrase FigureRidgeMeans = new("Of the length that falls at all. The rest leads water toward the hollows, against the purpose. Read from the shape of the ground; no water is routed for it.", "De la longitud que cae. El resto lleva el agua hacia las vaguadas, contra el propósito. Se lee de la forma del terreno; para esto no se hace correr agua.");
    public static readonly Phrase FigureRidgeUsual = new("70 to 90 % where there are valleys, 35 to 50 % on nearly flat land; middle 75 %", "70 a 90 % donde hay vaguadas, 35 a 50 % en terreno casi llano; medio 75 %");
    public static readonly Phrase FigureSpacing = new("Next line within 10 % of the spacing", "Línea vecina a ±10 % de la distancia");
    public static readonly Phrase FigureSpacingMeans = new("Of the length, each side by itself. Wider strips stay unripped, closer ones are ripped twice.", "De la longitud, cada lado por separado. Las franjas más anchas quedan sin subsolar, las más angostas se subsolan dos veces.");
    public static readonly Phrase FigureSpacingUsual = new("65 to 90 %, middle 84 %; 100 % only on a plane", "65 a 90 %, medio 84 %; 100 % solo en un plano");
    public static readonly Phrase FigureRadius = new("Tightest bend", "Curva más cerrada");
    public static readonly Phrase FigureRadiusMeans = new("An implement in the ground cannot follow a tighter bend than it was made for ({0} asked for).", "Un implemento clavado no puede seguir una curva más cerrada que la suya (se pidió {0}).");
    public static readonly Phrase FigureRadiusUsual = new("{0} or more", "{0} o más");
    public static readonly Phrase FigureSide = new("Steepest side slope", "Mayor pendiente lateral");
    public static readonly Phrase FigureSideMeans = new("How far the tractor tilts sideways, read from the heights; holes and banks come on top.", "Cuánto se inclina el tractor de lado según las alturas; hoyos y bordos se suman.");
    public static readonly Phrase FigureSideUsual = new("what the machine’s manual says; many end at 15 degrees", "lo que diga el manual de la máquina; muchos terminan en 15 grados");
    public static readonly Phrase FigureEnds = new("Line ends inside the field", "Extremos de línea dentro del campo");
    public static readonly Phrase FigureEndsMeans = new("Counted from two spacings in from the edge. Each is a lift and a turn on ground that was to be worked, and a place where water can leave the line.", "Se cuentan desde dos distancias hacia adentro del borde. Cada uno es un levante y una vuelta en suelo por trabajar, y un lugar donde el agua puede salir de la línea.");
    public static readonly Phrase FigureEndsUsual = new("{0} to {1}, middle {2}", "{0} a {1}, medio {2}");
    public static readonly Phrase FigureTurns = new("Driving between lines", "Recorrido entre líneas");
    public static readonly Phrase FigureTurnsMeans = new("Distance driven with the implement lifted, in the order of the plan.", "Distancia con el implemento levantado, en el orden del plan.");
    public static readonly Phrase FigureTurnsUsual = new("not measured on the trial fields; here {0} of all that is driven", "sin medir en los campos de prueba; aquí {0} de todo lo recorrido");
    public static readonly Phrase FigureSure = new("Fall that is sure", "Caída segura");
    public static readonly Phrase FigureSureMeans = new("Of the length that falls: where the fall is so plain that {0} of error in the heights turns it round less than one time in ten.", "De la longitud que cae: donde la caída es tan clara que un error de {0} en las alturas la invierte menos de una vez en diez.");
    public static readonly Phrase FigureSureUsual = new("the more, the better the heights; look at weak stretches with a level", "más cuanto mejores las alturas; mire los tramos débiles con un nivel");
    public static readonly Phrase FigureEndsValue = new("{0}, which is {1}", "{0}, o sea {1}");
    public static readonly Phrase NotMeasured = new("not measured", "sin medir");
    public static readonly Phrase Straight = new("straight", "recta");

    public static readonly Phrase Histograms = new("Spread of the figures", "Reparto de las cifras");
    public static readonly Phrase HistogramGrade = new("Grade along the lines", "Pendiente a lo largo de las líneas");
    public static readonly Phrase HistogramGradeText = new("Share of the length by grade. The dashed line is the limit of {0}.", "Parte de la longitud según su pendiente. La línea de trazos es el límite de {0}.");
    public static readonly Phrase HistogramSpacing = new("Distance to the next line", "Distancia a la línea vecina");
    public static readonly Phrase HistogramSpacingText = new("On both sides, square to the line, every few metres, where another line lies within twice the spacing. The dashed line is the spacing of {0}.", "A ambos lados, en escuadra, cada pocos metros, donde hay otra línea a menos del doble de la distancia. La línea de trazos es la distancia de {0}.");
    public static readonly Phrase HistogramLength = new("Length of the lines", "Longitud de las líneas");
    public static readonly Phrase HistogramLengthText = new("Number of lines by length.", "Número de líneas según su longitud.");
    public static readonly Phrase HistogramShare = new("share of the length", "parte de la longitud");
    public static readonly Phrase HistogramCount = new("lines", "líneas");
    public static readonly Phrase HistogramGradeAcross = new("grade", "pendiente");
    public static readonly Phrase HistogramSpacingAcross = new("of the spacing asked for", "de la distancia pedida");
    public static readonly Phrase HistogramLengthAcross = new("length of a line", "longitud de la línea");
    public static readonly Phrase HistogramBar = new("{0} to {1}: {2}", "{0} a {1}: {2}");
    public static readonly Phrase HistogramOver = new("{0} or more: {1}", "{0} o más: {1}");

    public static readonly Phrase Comparison = new("Compared with other ways of laying it out", "Comparado con otras formas de trazar");
    public static readonly Phrase ComparisonIntro = new("The same field, spacing and limits, measured by the same check.", "El mismo campo, la misma distancia y los mismos límites, medidos con el mismo control.");
    public static readonly Phrase ComparisonNone = new("No comparison was asked for; “keyline plan --compare” makes one.", "No se pidió comparación; «keyline plan --compare» la hace.");
    public static readonly Phrase WayStraight = new("Straight rows", "Líneas rectas");
    public static readonly Phrase WayOneKeyline = new("One keyline, paralleled", "Una línea clave y sus paralelas");
    public static readonly Phrase WayValleysAndRidges = new("A guide for each valley and ridge", "Una guía por vaguada y por loma");
    public static readonly Phrase WayContours = new("Contours by row grade", "Curvas de nivel por pendiente de surco");
    public static readonly Phrase WayGuides = new("Chosen guides", "Guías escogidas");
    public static readonly Phrase WayEven = new("Even lines", "Líneas parejas");
    public static readonly Phrase ComparisonFigures = new("Within the grade {0} · to the ridge {1} · reached {2} · next line within 10 % {3} · ends inside {4} · {5} in all", "Dentro de la pendiente {0} · hacia la loma {1} · alcanzado {2} · vecina a ±10 % {3} · extremos dentro {4} · {5} en total");
}
