namespace Keyline.Report;

/// <summary>What only the report's pages on paper say.</summary>
internal static partial class Phrases
{
    public static readonly Phrase PaperPage = new("Page {0} of {1}", "Página {0} de {1}");
    public static readonly Phrase PaperContents = new("Contents", "Contenido");
    public static readonly Phrase PaperPlaces = new(
        "Where this report names a place, it gives metres east (E) and north (N) in the plan’s coordinate system, as along the edges of this map.",
        "Donde este informe nombra un lugar da metros al este (E) y al norte (N) en el sistema de coordenadas del plan, como en los bordes de este mapa.");
}
