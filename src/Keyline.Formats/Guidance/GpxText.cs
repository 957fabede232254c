namespace Keyline.Formats;

/// <summary>How GPX 1.1 is written here, whether lines or stakes.</summary>
internal static class GpxText
{
    private const int PlaceDecimals = 9;

    /// <summary>The head of a file, down to the opened root.</summary>
    public static Utf8Text Begin(string creator) => new Utf8Text()
        .Add("<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<gpx version=\"1.1\" creator=\""u8).AddXml(creator).Add("\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"u8);

    /// <summary>A point, left open for what is said of it; a longitude from -180 to below 180, as the schema demands.</summary>
    /// <param name="text">Where to.</param>
    /// <param name="indent">What stands before the element.</param>
    /// <param name="element">Its name.</param>
    /// <param name="longitude">Degrees.</param>
    /// <param name="latitude">Degrees.</param>
    /// <param name="height">Metres; left out where it is not known.</param>
    /// <param name="heightDecimals">Decimals of the height.</param>
    /// <param name="between">What stands before each element within.</param>
    public static Utf8Text Point(
        Utf8Text text, ReadOnlySpan<byte> indent, ReadOnlySpan<byte> element, double longitude, double latitude, double height, int heightDecimals, ReadOnlySpan<byte> between)
    {
        text.Add(indent).Add("<"u8).Add(element).Add(" lat=\""u8).Add(latitude, PlaceDecimals).Add("\" lon=\""u8).Add(LinePlaces.Wrapped(longitude, PlaceDecimals), PlaceDecimals).Add("\">"u8);
        return double.IsFinite(height) ? text.Add(between).Add("<ele>"u8).Add(height, heightDecimals).Add("</ele>"u8) : text;
    }

    /// <summary>An element of text within a point, a track or a route.</summary>
    public static Utf8Text Said(Utf8Text text, ReadOnlySpan<byte> between, ReadOnlySpan<byte> element, string said) =>
        text.Add(between).Add("<"u8).Add(element).Add(">"u8).AddXml(said).Add("</"u8).Add(element).Add(">"u8);
}
