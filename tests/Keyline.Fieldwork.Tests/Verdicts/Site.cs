using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Facts written in a line: "texture=loam, pan_depth_cm=25, pan_bottom_cm=35".</summary>
internal static class Site
{
    public static SiteRecord Record(string line) => new(
        new Polygon(new LinearRing([new(0, 0), new(100, 0), new(100, 100), new(0, 0)])),
        line.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(p => p.Split('=')).ToDictionary(p => p[0], p => p[1]),
        "made, feature 1");

    public static SiteFacts Facts(string line, SiteFields? fields = null) => SiteReader.Read([Record(line)], fields, []).Single().Facts;
}
