using System.Globalization;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>The map with its tools; what it draws is in <see cref="MapData"/>.</summary>
internal static class MapSection
{
    // Layers with whether they are on at first.
    private static readonly (string Name, bool On)[] Layers =
        [("relief", true), ("contours", true), ("lines", true), ("numbers", true), ("keys", true), ("land", true), ("avoid", true), ("findings", true)];

    private static readonly string[] Colourings = ["drift", "grade", "order", "water", "plain"];

    public static void Write(HtmlParts page, ReportContent content, MapData map, CancellationToken cancellationToken) => page.Section("map", MapPhrases.All["map"], p =>
    {
        p.Add($"<div class=\"tools\"><label>{Said("colour")}<select id=\"colour\">");
        foreach (string by in Colourings)
        {
            p.Add($"<option value=\"{by}\" data-t=\"by.{by}\">{PageText.Encoded(MapPhrases.All["by." + by].En)}</option>");
        }

        p.Add($"</select></label><form id=\"finder\"><label>{Said("find")}<input type=\"text\" id=\"find\" list=\"names\" autocomplete=\"off\"></label><datalist id=\"names\"></datalist><button>{Said("go")}</button></form>");
        p.Add($"<button type=\"button\" id=\"measure\" aria-pressed=\"false\">{Said("measure")}</button><button type=\"button\" id=\"where\" aria-pressed=\"false\">{Said("where")}</button></div>");
        p.Add("<div class=\"mapbox\"><div><div class=\"frame\"><canvas id=\"canvas\" tabindex=\"0\" role=\"application\" data-label=\"canvas\" aria-label=\"Map of the plan\" aria-describedby=\"map-help\"></canvas>");
        p.Add(Relief(content, map, cancellationToken));
        p.Add("<div class=\"zooms\"><button type=\"button\" id=\"in\" data-label=\"in\" aria-label=\"Zoom in\">+</button><button type=\"button\" id=\"out\" data-label=\"out\" aria-label=\"Zoom out\">−</button><button type=\"button\" id=\"fit\" data-label=\"fit\" aria-label=\"Show all\"><svg viewBox=\"0 0 20 20\" width=\"18\" height=\"18\" aria-hidden=\"true\"><path fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" d=\"M2 7V2h5M13 2h5v5M18 13v5h-5M7 18H2v-5\"/></svg></button></div></div>");
        p.Add($"<p id=\"message\" role=\"status\"></p><p class=\"note hint\" id=\"map-help\">{Said("help")}</p></div>");
        p.Add($"<div class=\"sides\"><div id=\"card\" aria-live=\"polite\"></div><div id=\"legend\"><h3>{Said("legend")}</h3><ul id=\"legend-list\"></ul></div><div id=\"layers\"><h3>{Said("layers")}</h3><ul>");
        foreach ((string name, bool on) in Layers)
        {
            p.Add($"<li><label><input type=\"checkbox\" value=\"{name}\"{(on ? " checked" : "")}>{Said("layer." + name)}</label></li>");
        }

        p.Add("</ul></div></div></div>");
    });

    private static string Said(string key) => PageText.Say(MapPhrases.All[key]);

    private static string Relief(ReportContent content, MapData map, CancellationToken cancellationToken)
    {
        if (ReliefImage.Draw(content.Plan, map.Window, cancellationToken) is not { } relief)
        {
            return "";
        }

        Envelope covers = relief.Covers;
        return string.Create(
            CultureInfo.InvariantCulture,
            $"<img id=\"relief\" alt=\"\" data-box=\"{covers.MinX - map.Origin.X:0.###} {covers.MinY - map.Origin.Y:0.###} {covers.MaxX - map.Origin.X:0.###} {covers.MaxY - map.Origin.Y:0.###}\" src=\"data:image/jpeg;base64,{Convert.ToBase64String(relief.Jpeg)}\">");
    }
}
