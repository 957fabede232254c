namespace Keyline.Tests.Support;

/// <summary>Numbers that look random and depend on nothing but their place and a seed.</summary>
internal static class Noise
{
    /// <summary>From -1 up to but not including 1, evenly spread (SplitMix64, Steele, Lea and Flood 2014).</summary>
    public static double At(int row, int column, ulong seed)
    {
        ulong x = seed + (((ulong)(uint)row << 32) | (uint)column);
        x += 0x9E3779B97F4A7C15;
        x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9;
        x = (x ^ (x >> 27)) * 0x94D049BB133111EB;
        x ^= x >> 31;
        return ((x >> 11) * (2.0 / (1UL << 53))) - 1;
    }
}
