namespace Keyline.Fieldwork;

/// <summary>Clipped forage, cover classes and the pole: from what is read to what it stands for.</summary>
/// <remarks>
/// <para>Units: as the names say. Promises: conversions exact by definition (NIST SP 811, 2008, appendix B.8).</para>
/// <para>Cost: O(1). Source: classes of Daubenmire 1959, "A canopy-coverage method of vegetational analysis", Northwest Science 33; the pole of Robel et al. 1970,
/// Journal of Range Management 23, 295-297 (half decimetres), in inch bands as in BLM Technical Reference 1734-4 (1996) and half-inch bands as Uresk and Benzon 2007.</para>
/// </remarks>
public static class Forage
{
    private const double PoundsAKilogram = 1 / 0.45359237;
    private const double HectaresAnAcre = 0.40468564224;
    private static readonly double[] Midpoints = [2.5, 15, 37.5, 62.5, 85, 97.5];

    /// <summary>kg/ha of dry grams clipped from a frame.</summary>
    /// <param name="grams">Dry weight, grams.</param>
    /// <param name="frame">Ground clipped, square metres.</param>
    public static double KilogramsAHectare(double grams, double frame) => grams / frame * 10;

    /// <summary>lb/ac of kg/ha.</summary>
    /// <param name="kilogramsAHectare">kg/ha.</param>
    public static double PoundsAnAcre(double kilogramsAHectare) => kilogramsAHectare * PoundsAKilogram * HectaresAnAcre;

    /// <summary>Cover that a class stands for, percent.</summary>
    /// <param name="coverClass">1 (to 5 %) to 6 (above 95 %).</param>
    public static double ClassMidpoint(int coverClass) => Midpoints[coverClass - 1];

    /// <summary>Centimetres of a band of the pole: NaN for words that name none.</summary>
    /// <param name="bands">"inch", "half-inch" or "half-decimetre".</param>
    public static double BandHeight(string bands) => bands switch { "inch" => 2.54, "half-inch" => 1.27, "half-decimetre" => 5, _ => double.NaN };

    /// <summary>A station's reading: the mean of its sides, in bands.</summary>
    /// <param name="sides">One to four readings.</param>
    public static double Station(IReadOnlyList<double> sides) => sides.Average();
}
