namespace Keyline.Report;

/// <summary>The index page of many fields.</summary>
internal static class BatchWords
{
    public static IReadOnlyList<(string English, string Spanish)> All { get; } =
    [
        ("Fields and their plans", "Campos y sus planes"),
        ("{n} field", "{0} campo"), ("{n} fields", "{0} campos"),
        ("{n} planned: {q}, {n} lines, {q} of ripping.", "{0} con plan: {1}, {2} líneas, {3} de subsolado."),
        ("Each name opens that field’s report.", "Cada nombre abre el informe de ese campo."),
        ("What has something to look at comes first.", "Primero lo que tiene algo que mirar."),
        ("{n} input refused", "{0} con entrada rechazada"), ("{n} ended early", "{0} terminados antes de tiempo"), ("{n} out of time", "{0} sin tiempo"), ("{n} something to look at", "{0} con algo que mirar"), ("{n} every limit held", "{0} con todo límite cumplido"), ("{n} still to be made", "{0} por hacer"),
        ("input refused", "entrada rechazada"), ("ended early", "terminó antes de tiempo"), ("out of time", "sin tiempo"), ("something to look at", "algo que mirar"), ("every limit held", "todo límite cumplido"), ("still to be made", "por hacer"),
        ("Failed", "Fallaron"),
        (", input refused: {t}", ", entrada rechazada: {0}"), (", ended early: {t}", ", terminó antes de tiempo: {0}"), (", out of time: {t}", ", sin tiempo: {0}"),
        ("{n} of the fields without a plan lie far from the others and are not on the map.", "{0} de los campos sin plan quedan lejos de los demás y no están en el mapa."),
        ("Map of the fields, north up", "Mapa de los campos, norte arriba"),
        ("{t}: something to look at", "{0}: algo que mirar"), ("{t}: every limit held", "{0}: todo límite cumplido"), ("{t}: still to be made", "{0}: por hacer"), ("{t}: input refused", "{0}: entrada rechazada"), ("{t}: ended early", "{0}: terminó antes de tiempo"), ("{t}: out of time", "{0}: sin tiempo"),
        ("Shares are of the length, covered of the workable ground; next line: with its next line within a quarter of the spacing.", "Las partes son de la longitud; lo cubierto, del suelo que se puede trabajar; línea vecina: a menos de un cuarto de la distancia pedida."),
        ("Field", "Campo"), ("State", "Estado"), ("Area, ha", "Superficie, ha"), ("Lines", "Líneas"), ("Length, km", "Longitud, km"), ("Covered", "Cubierto"), ("Within grade", "En pendiente"), ("To the ridge", "Hacia la loma"), ("Next line", "Línea vecina"), ("Limits broken", "Límites rotos"), ("Time, s", "Tiempo, s"),
        ("Have buried lines located before ripping anywhere.", "Haga localizar las líneas enterradas antes de subsolar en cualquier parte."),
    ];
}
