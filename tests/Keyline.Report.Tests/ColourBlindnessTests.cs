using SkiaSharp;

namespace Keyline.Report.Tests;

/// <summary>The line colours stay apart for colour-blind readers and in a grey print.</summary>
/// <remarks>
/// Simulation: Vienot, Brettel and Mollon 1999, "Digital video colourmaps for checking the legibility of displays by
/// dichromats", Color Research and Application 24(4). Colour difference: CIE 1976 L*a*b* (ISO/CIE 11664-4), D65.
/// sRGB transfer curve: IEC 61966-2-1. That 20 units of difference are plain to see on thin lines is common practice, no source.
/// Contrast: WCAG 2.1, section 1.4.11: at least 3 to 1 for graphics against what is beside them.
/// </remarks>
public sealed class ColourBlindnessTests
{
    private static readonly (string Name, SKColor Color)[] LineColours =
    [
        ("valley", MapStyle.Valley),
        ("ridge", MapStyle.Ridge),
        ("keyline", MapStyle.Keyline),
        ("rip line to ridge", MapStyle.ToRidge),
        ("rip line to valley", MapStyle.ToValley),
        ("boundary", MapStyle.Boundary),
    ];

    public static TheoryData<string, string, string> Pairs()
    {
        TheoryData<string, string, string> pairs = [];
        foreach (string sight in (string[])["normal", "protan", "deutan"])
        {
            for (int i = 0; i < LineColours.Length; i++)
            {
                for (int j = i + 1; j < LineColours.Length; j++)
                {
                    pairs.Add(sight, LineColours[i].Name, LineColours[j].Name);
                }
            }
        }

        return pairs;
    }

    [Theory]
    [MemberData(nameof(Pairs))]
    public void LineColours_StayApart(string sight, string one, string other)
    {
        double difference = Difference(Seen(sight, Named(one)), Seen(sight, Named(other)));
        Assert.True(difference >= 20, $"{one} and {other} differ by {difference:F1} for {sight} sight");
    }

    [Theory]
    [InlineData("valley")]
    [InlineData("ridge")]
    [InlineData("rip line to ridge")]
    [InlineData("rip line to valley")]
    [InlineData("boundary")]
    public void LineColours_StandOutFromPaperAndGround(string name)
    {
        foreach (SKColor ground in (SKColor[])[MapStyle.Paper, MapStyle.LowGround, MapStyle.HighGround])
        {
            double a = Luminance(ground) + 0.05;
            double b = Luminance(Named(name)) + 0.05;
            Assert.True(a / b >= 3, $"{name} has a contrast of {a / b:F1}");
        }
    }

    [Fact]
    public void Simulation_KeepsGreyAndMergesRedWithGreen()
    {
        // Greys look the same to a dichromat; pure red and a dark yellow-green merge for a protan (the paper's own point).
        double[] grey = Seen("protan", new SKColor(128, 128, 128));
        Assert.Equal(grey[0], grey[1], 3);
        Assert.Equal(grey[0], grey[2], 3);
        double[] red = Seen("deutan", new SKColor(200, 0, 0));
        double[] green = Seen("deutan", new SKColor(0, 140, 0));
        Assert.Equal(red[0], red[1], 3);
        Assert.Equal(green[0], green[1], 3);
    }

    private static SKColor Named(string name) => Array.Find(LineColours, c => c.Name == name).Color;

    private static double Linear(byte channel)
    {
        double c = channel / 255.0;
        return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
    }

    private static double Luminance(SKColor c) => (0.2126 * Linear(c.Red)) + (0.7152 * Linear(c.Green)) + (0.0722 * Linear(c.Blue));

    /// <summary>Linear red, green and blue as seen.</summary>
    private static double[] Seen(string sight, SKColor color)
    {
        double r = Linear(color.Red);
        double g = Linear(color.Green);
        double b = Linear(color.Blue);
        // The paper's matrices from linear RGB to cone responses, and its projections.
        double l = (17.8824 * r) + (43.5161 * g) + (4.11935 * b);
        double m = (3.45565 * r) + (27.1554 * g) + (3.86714 * b);
        double s = (0.0299566 * r) + (0.184309 * g) + (1.46709 * b);
        switch (sight)
        {
            case "protan":
                l = (2.02344 * m) - (2.52581 * s);
                break;
            case "deutan":
                m = (0.494207 * l) + (1.24827 * s);
                break;
        }

        return
        [
            (0.0809444479 * l) - (0.130504409 * m) + (0.116721066 * s),
            (-0.0102485335 * l) + (0.0540193266 * m) - (0.113614708 * s),
            (-0.000365296938 * l) - (0.00412161469 * m) + (0.693511405 * s),
        ];
    }

    private static double Difference(double[] one, double[] other)
    {
        double[] a = Lab(one);
        double[] b = Lab(other);
        return Math.Sqrt(a.Zip(b, (p, q) => (p - q) * (p - q)).Sum());
    }

    private static double[] Lab(double[] rgb)
    {
        double r = Math.Clamp(rgb[0], 0, 1);
        double g = Math.Clamp(rgb[1], 0, 1);
        double b = Math.Clamp(rgb[2], 0, 1);
        double x = F(((0.4124 * r) + (0.3576 * g) + (0.1805 * b)) / 0.95047);
        double y = F((0.2126 * r) + (0.7152 * g) + (0.0722 * b));
        double z = F(((0.0193 * r) + (0.1192 * g) + (0.9505 * b)) / 1.08883);
        return [(116 * y) - 16, 500 * (x - y), 200 * (y - z)];
    }

    private static double F(double t) => t > 216.0 / 24389 ? Math.Cbrt(t) : ((24389.0 / 27 * t) + 16) / 116;
}
