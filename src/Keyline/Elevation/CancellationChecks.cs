namespace Keyline.Elevation;

/// <summary>Looks at a token from within loops whose rounds are too short to look every time.</summary>
internal static class CancellationChecks
{
    // Short rounds take under a microsecond, so that a stop is seen within a few hundredths of a second.
    private const int Stride = 1 << 16;

    /// <summary>Stops the work in every 65,536th round.</summary>
    /// <param name="cancellationToken">The token.</param>
    /// <param name="round">Number of the round.</param>
    public static void ThrowIfCancellationRequested(this CancellationToken cancellationToken, int round)
    {
        if ((round & (Stride - 1)) == 0)
        {
            cancellationToken.ThrowIfCancellationRequested();
        }
    }
}
