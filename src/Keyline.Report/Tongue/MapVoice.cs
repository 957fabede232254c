using System.Globalization;

namespace Keyline.Report;

/// <summary>How the map's own words are said: in whose units and language.</summary>
/// <param name="Units">The units.</param>
/// <param name="Language">One of <see cref="PageTongue.Languages"/>.</param>
internal sealed record MapVoice(UnitSystem Units, string Language = "en")
{
    /// <summary>The voice of a map's options.</summary>
    public static MapVoice Of(PlanMapOptions options) => new(options.Units, options.Language);

    /// <summary>Words with their numbers in the language; as they are where they have no Spanish.</summary>
    public string Say(string english) => Language == "es" ? NumberMark.In(PhraseBook.Say(english), Units) : english;

    /// <summary>A quantity.</summary>
    public string Text(double value, UnitKind kind, string format) => Say(Units.Text(value, kind, format));

    /// <summary>A plain number.</summary>
    public string Number(double value, string format) => Say(value.ToString(format, CultureInfo.InvariantCulture));
}
