using System.Globalization;
using SkiaSharp;

namespace Keyline.Report.Tests;

public sealed class PlanMapTests
{
    private static readonly PlanMapOptions Options = new()
    {
        CoordinateSystem = "EPSG:32610, WGS 84 / UTM zone 10N",
        SpacingAsked = "10 ft",
        GroundSource = "three-combes.tif",
        MadeWith = "Keyline 0.1.0",
        Cautions =
        [
            "Have every buried pipe and cable located and marked on the ground before ripping.",
            "Rip only where the soil is dry enough to shatter; wet clay smears.",
            "Positions are on the datum of the elevation data; check one known point with the tractor's receiver first.",
            "Walk each weak keypoint before trusting it.",
        ],
    };

    [Fact]
    public void Write_WholePlan_IsAnA4SheetAtTheAskedFineness()
    {
        using MemoryStream png = new();
        PlanMap.Write(png, InventedPlan.Make(), Options);
        if (Environment.GetEnvironmentVariable("KEYLINE_MAP_OUT") is string path)
        {
            File.WriteAllBytes(path, png.ToArray());
        }

        png.Position = 0;
        using SKBitmap map = SKBitmap.Decode(png);
        // A4 is 297 x 210 mm (ISO 216).
        Assert.Equal((int)Math.Round(297 / 25.4 * 240), map.Width);
        Assert.Equal((int)Math.Round(210 / 25.4 * 240), map.Height);
    }
}
