using System.Globalization;

namespace Keyline.Formats;

/// <summary>Small files that lie beside an elevation file under the same name: .prj, world file, .hdr.</summary>
internal sealed class Sidecars(string? path)
{
    private const int MostBytes = 200_000;

    /// <summary>None, for streams.</summary>
    public static Sidecars None { get; } = new(null);

    /// <summary>The coordinate system text beside the file, or null.</summary>
    public string? Prj() => Text(".prj");

    /// <summary>The mapping of cell centres in the world file beside the file, or null.</summary>
    public CellMapping? World()
    {
        string extension = Path.GetExtension(path ?? "").TrimStart('.');
        string short3 = extension.Length >= 2 ? $".{extension[0]}{extension[^1]}w" : ".wld";
        string? text = Text(short3) ?? Text($".{extension}w") ?? Text(".wld");
        if (text is null)
        {
            return null;
        }

        string[] lines = text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
        double[] v = new double[6];
        for (int i = 0; i < 6; i++)
        {
            if (i >= lines.Length || !double.TryParse(lines[i], NumberStyles.Float, CultureInfo.InvariantCulture, out v[i]))
            {
                throw new GroundDataException($"The world file beside {Path.GetFileName(path)} does not hold six numbers with decimal points; export it again.");
            }
        }

        return new CellMapping(v[4], v[0], v[2], v[5], v[1], v[3]);
    }

    /// <summary>The text of a file of the same name with another ending, in lower or upper case, or null.</summary>
    public string? Text(string ending)
    {
        if (path is null)
        {
            return null;
        }

        foreach (string candidate in new[] { Path.ChangeExtension(path, ending), Path.ChangeExtension(path, ending.ToUpperInvariant()), path + ending })
        {
            FileInfo file = new(candidate);
            if (file.Exists && file.Length <= MostBytes && !string.Equals(candidate, path, StringComparison.Ordinal))
            {
                return File.ReadAllText(candidate);
            }
        }

        return null;
    }
}
