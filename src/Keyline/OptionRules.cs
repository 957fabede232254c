namespace Keyline;

/// <summary>The one way in which options refuse values: the message names the option, its bound and its unit.</summary>
internal static class OptionRules
{
    public static void Above(double value, double bound, string name, string unit)
    {
        if (!(value > bound) || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must be above {bound} {unit}."));
        }
    }

    public static void AtLeast(double value, double bound, string name, string unit)
    {
        if (!(value >= bound) || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must be {bound} {unit} or more."));
        }
    }

    public static void Below(double value, double bound, string name, string unit)
    {
        if (!(value < bound))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must be below {bound} {unit}."));
        }
    }

    /// <summary>Above a bound or infinite, where infinite says that none is asked for.</summary>
    public static void AboveOrNone(double value, double bound, string name, string unit)
    {
        if (!(value > bound))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must be above {bound} {unit}, or infinite for none."));
        }
    }
}
