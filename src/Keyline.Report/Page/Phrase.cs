namespace Keyline.Report;

/// <summary>A sentence or a word of the report in its languages; {0}, {1} and so on stand for what is put in.</summary>
/// <param name="En">English.</param>
/// <param name="Es">Spanish.</param>
internal sealed record Phrase(string En, string Es)
{
    /// <summary>The languages, as the page's lang attributes have them.</summary>
    public static readonly IReadOnlyList<string> Languages = ["en", "es"];

    /// <summary>The words in a language.</summary>
    public string In(string language) => language == "es" ? Es : En;
}

/// <summary>A phrase with what is put into it.</summary>
/// <param name="Phrase">The phrase.</param>
/// <param name="Values">Measures, texts or further statements, in the order of the places.</param>
internal sealed record Statement(Phrase Phrase, params object[] Values);
