using Keyline.Water;

namespace Keyline.Console.Cli;

/// <summary>What freshly loosened soil of a texture stands of running water.</summary>
/// <remarks>
/// <para>Units: metres a second, pascals. Cost: none. Source: permissible speed and shear of clear water in aged canals after Fortier and Scobey, Transactions of the ASCE 89, 1926 (from memory; reprinted in
/// NRCS National Engineering Handbook part 654, chapter 8), the speed halved for loosened soil, a judgement; clays are taken as firm loam, for loosened clay is not stiff. A soil that disperses stands nothing at all.</para>
/// </remarks>
/// <param name="Name">What their table calls it.</param>
/// <param name="Speed">Speed it stands, metres a second.</param>
/// <param name="Shear">Mean shear it stands, pascals.</param>
internal sealed record FreshSoil(string Name, double Speed, double Shear)
{
    private static readonly FreshSoil FineSand = new("fine sand", 0.46 / 2, 1.3);
    private static readonly FreshSoil Sandy = new("sandy loam", 0.53 / 2, 1.8);
    private static readonly FreshSoil Silty = new("silt loam", SafeLine.FreshSoilSpeed, SafeLine.FreshSoilShear);
    private static readonly FreshSoil Firm = new("firm loam", 0.76 / 2, 3.6);

    /// <summary>The soil of a texture class.</summary>
    /// <param name="texture">The class.</param>
    public static FreshSoil Of(SoilTexture texture) => texture switch
    {
        SoilTexture.Sand or SoilTexture.LoamySand => FineSand,
        SoilTexture.SandyLoam => Sandy,
        SoilTexture.SiltLoam => Silty,
        _ => Firm,
    };

    /// <summary>The longest line on it, metres, as <see cref="SafeLine.Longest"/>.</summary>
    /// <param name="grade">Rise over run along the line.</param>
    /// <param name="spacing">Metres from line to line.</param>
    /// <param name="excess">Rain not taken in, metres a second.</param>
    public double Longest(double grade, double spacing, double excess) => SafeLine.Longest(grade, spacing, excess, Speed, Shear);
}
