namespace Keyline.Fieldwork;

/// <summary>Places of a square that stand for all of it, in sides from its middle, with their weights: four by four after Gauss.</summary>
internal static class SquarePlaces
{
    public static readonly (double X, double Y, double Weight)[] All = Make();

    private static (double, double, double)[] Make()
    {
        // Abramowitz and Stegun 1964, table 25.4, in closed form.
        double root = 2.0 / 7 * Math.Sqrt(6.0 / 5), near = Math.Sqrt((3.0 / 7) - root) / 2, far = Math.Sqrt((3.0 / 7) + root) / 2, more = (18 + Math.Sqrt(30)) / 72, less = (18 - Math.Sqrt(30)) / 72;
        (double At, double Weight)[] line = [(-far, less), (-near, more), (near, more), (far, less)];
        return [.. line.SelectMany(a => line.Select(b => (a.At, b.At, a.Weight * b.Weight)))];
    }
}
