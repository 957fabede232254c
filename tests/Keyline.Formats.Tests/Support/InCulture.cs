using System.Globalization;

namespace Keyline.Formats.Tests.Support;

/// <summary>Runs a piece of code as on a machine that writes decimal commas.</summary>
internal static class InCulture
{
    public static T OfCommas<T>(Func<T> action)
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
        try
        {
            // The culture must really write commas, or the test would prove nothing.
            Assert.Equal("1,5", 1.5.ToString(CultureInfo.CurrentCulture));
            return action();
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }
}
