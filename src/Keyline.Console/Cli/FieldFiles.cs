using Keyline.Field;
using Keyline.Formats;
using Keyline.Gdal;

namespace Keyline.Console.Cli;

/// <summary>A field, what to avoid in it and lines, from their files: GeoJSON, or what the machine's GDAL reads.</summary>
internal static class FieldFiles
{
    private const int HeadBytes = 256;

    /// <summary>The ground that a plan of the shapes needs.</summary>
    public static GroundWindow Window(string path) => Use(path, FieldReader.ReadWindow, FieldReader.ReadWindow);

    public static FieldArea Read(string fieldPath, IReadOnlyList<string> avoidPaths, string? outletsPath, GroundCrs crs)
    {
        FieldArea field = Read(fieldPath, avoidPaths, crs);
        return outletsPath is null ? field : new FieldArea(field.Boundary, field.Avoided, field.Name)
        {
            Outlets = ReadShapes(outletsPath, crs),
        };
    }

    public static IReadOnlyList<AvoidedArea> ReadAvoided(string path, GroundCrs crs) => Use(path, p => FieldReader.ReadAvoided(p, crs), (stream, name) => FieldReader.ReadAvoided(stream, name, crs));

    public static FieldNotes ReadNotes(string path, GroundCrs crs) => Use(path, p => FieldNotes.Read(p, crs), (stream, name) => FieldNotes.Read(stream, name, crs));

    public static IReadOnlyList<AvoidedArea> ReadLocated(string path, GroundCrs crs, double handDig, double beside) =>
        Use(path, p => LocatedServices.Read(p, crs, handDig, beside), (stream, name) => LocatedServices.Read(stream, name, crs, handDig, beside));

    private static FieldArea Read(string fieldPath, IReadOnlyList<string> avoidPaths, GroundCrs crs)
    {
        AvoidedArea[] avoided = [.. avoidPaths.SelectMany(path => ReadAvoided(path, crs))];
        return Use(fieldPath, path => FieldReader.ReadField(path, crs, avoided), (stream, name) => FieldReader.ReadField(stream, name, crs, avoided));
    }

    public static NetTopologySuite.Geometries.Geometry ReadShapes(string path, GroundCrs crs) =>
        Use(path, p => FieldReader.ReadShapes(p, crs), (stream, name) => FieldReader.ReadShapes(stream, name, crs));

    public static IReadOnlyList<GroundLine> ReadLines(string path, GroundCrs crs) =>
        Use(path, p => FieldReader.ReadLines(p, crs), (stream, name) => FieldReader.ReadLines(stream, name, crs));

    public static IReadOnlyList<NetTopologySuite.Geometries.Coordinate> ReadPoints(string path, GroundCrs crs) =>
        Use(path, p => FieldReader.ReadPoints(p, crs), (stream, name) => FieldReader.ReadPoints(stream, name, crs));

    /// <summary>A layer of many fields.</summary>
    public static IReadOnlyList<LayerField> ReadLayer(string path, string? idAttribute) => Use(path, p => FieldLayer.Read(p, idAttribute), (stream, name) => FieldLayer.Read(stream, name, idAttribute));

    /// <summary>Shapes with their attributes: a table by its name, GeoJSON, or what GDAL reads.</summary>
    public static AttributedFile ReadAttributed(string path, string what) => Path.GetExtension(path).ToLowerInvariant() is ".csv" or ".tsv" or ".txt" ? AttributedFile.Read(path, what)
        : Use(path, p => AttributedFile.Read(p, what), AttributedFile.ReadGeoJson);

    private static T Use<T>(string path, Func<string, T> file, Func<Stream, string, T> converted)
    {
        if (!GdalLibrary.IsPresent || LooksLikeJson(path))
        {
            return file(path);
        }

        Stream? shapes = null;
        GroundDataException? refused = null;
        try
        {
            shapes = GdalConverter.ToGeoJson(path);
        }
        catch (GroundDataException e)
        {
            refused = e;
        }

        if (shapes is null)
        {
            // What GDAL cannot open is most likely meant as GeoJSON; what it can open and not use is told as it says.
            return refused!.Fault == GroundDataFault.Format ? file(path) : throw refused;
        }

        using (shapes)
        {
            return converted(shapes, Path.GetFileName(path));
        }
    }

    private static bool LooksLikeJson(string path)
    {
        byte[] head = new byte[HeadBytes];
        using FileStream stream = File.OpenRead(path);
        int length = stream.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
        string start = System.Text.Encoding.UTF8.GetString(head, 0, length).TrimStart('\uFEFF', ' ', '\t', '\r', '\n');
        return start.Length == 0 || start[0] is '{' or '[';
    }
}
