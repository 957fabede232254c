using System.Globalization;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>What a folder of rasters is made from.</summary>
internal sealed record RasterOrigin(string Name, IReadOnlyList<PlanInput> Inputs, GroundCrs Crs, GridFrame Frame, IReadOnlyList<string> Notes)
{
    public static RasterOrigin Of(ElevationSource ground) => new(ground.Name, [.. ground.Files.Select(file => PlanInput.Of("dem", file))], ground.Crs, ground.Grid.Frame, ground.Notes);
}

/// <summary>A file of such a folder: a raster with its range, shapes with their count, or a picture.</summary>
internal sealed record RasterFile(string Name, string What)
{
    public string Unit { get; init; } = "";

    /// <summary>Least and greatest value and cells without one; null for anything but a raster. None lies between least and greatest where all are missing.</summary>
    public (double Least, double Greatest, long Missing)? Range { get; init; }

    public int? Count { get; init; }

    public bool IsPicture { get; init; }

    public string Held => Count is { } count ? string.Create(CultureInfo.InvariantCulture, $"{count} of them")
        : Range is not { } range || !(range.Least <= range.Greatest) ? "nothing there"
        : string.Create(CultureInfo.InvariantCulture, $"{range.Least:G5} to {range.Greatest:G5} {Unit}").TrimEnd();

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteString("file", Name);
        json.WriteString("what", What);
        if (IsPicture)
        {
            json.WriteBoolean("picture", true);
        }

        if (Count is { } count)
        {
            json.WriteNumber("count", count);
        }

        if (Range is { } range)
        {
            bool any = range.Least <= range.Greatest;
            json.WriteString("unit", Unit);
            JsonText.Exact(json, "least", any ? range.Least : double.NaN);
            JsonText.Exact(json, "greatest", any ? range.Greatest : double.NaN);
            json.WriteNumber("missing_cells", range.Missing);
        }
    }
}

/// <summary>What the files of a folder of rasters were made with, and what there is to say of them beside their ranges.</summary>
internal interface IRasterSettings
{
    /// <summary>Sentences for the screen.</summary>
    IReadOnlyList<string> Said => [];

    /// <summary>Writes the settings as members.</summary>
    void WriteMembers(Utf8JsonWriter json);
}

/// <summary>A folder of rasters and shapes, which is also the list that lies in it.</summary>
/// <param name="Origin">What it was made from.</param>
/// <param name="Settings">What it was made with.</param>
/// <param name="Files">What is in it.</param>
/// <param name="Folder">Where it is.</param>
internal sealed record RasterView(RasterOrigin Origin, IRasterSettings Settings, IReadOnlyList<RasterFile> Files, OutputFiles Folder) : IView
{
    public void WriteText(UnitText output)
    {
        output.Line($"{Origin.Inputs[0].File}{(Origin.Inputs.Count > 1 ? " and others" : "")}: {Origin.Frame.Rows} rows by {Origin.Frame.Columns} columns of {Origin.Frame.CellSize:0.###} m, {Origin.Crs.Name}");
        foreach (string note in Origin.Notes)
        {
            output.Sentence("Note: " + note);
        }

        int pictures = Files.Count(file => file.IsPicture);
        IEnumerable<string> files = Files.Where(file => !file.IsPicture).Select(file => $"{Folder.Folder.NameOf(file.Name),-24} {file.What}: {file.Held}");
        Folder.WriteText(output, [.. files, .. pictures > 0 ? [string.Create(CultureInfo.InvariantCulture, $"{"profiles/",-24} long profiles: {pictures} of them")] : (string[])[]]);
        if (Settings.Said.Count > 0)
        {
            output.WriteLine();
        }

        foreach (string sentence in Settings.Said)
        {
            output.Sentence(sentence);
        }
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        WriteMembers(json);
        json.WriteNumber("exit_code", ExitCode.Done);
        json.WriteString("folder", Folder.Folder.Target);
        json.WriteEndObject();
    }

    /// <summary>Writes the list that lies in the folder.</summary>
    public void WriteList(Stream stream)
    {
        using (Utf8JsonWriter json = new(stream, JsonText.Readable))
        {
            json.WriteStartObject();
            WriteMembers(json);
            json.WriteEndObject();
        }

        stream.Write("\n"u8);
    }

    private void WriteMembers(Utf8JsonWriter json)
    {
        json.WriteString("version", Product.Version);
        JsonText.Sections(json, "dem", Origin.Inputs, input =>
        {
            json.WriteString("file", input.File);
            json.WriteString("sha256", input.Sha256);
        });
        JsonText.Section(json, "crs", () =>
        {
            json.WriteString("name", Origin.Crs.Name);
            JsonText.Whole(json, "epsg", Origin.Crs.EpsgCode);
            json.WriteString("datum_note", Origin.Crs.DatumNote);
        });
        JsonText.Section(json, "grid", () => WriteFrame(json, Origin.Frame));
        JsonText.Section(json, "settings", () => Settings.WriteMembers(json));
        JsonText.Texts(json, "notes", Origin.Notes);
        JsonText.Sections(json, "files", Files, file => file.WriteJson(json));
    }

    /// <summary>Writes where a grid lies, as members.</summary>
    public static void WriteFrame(Utf8JsonWriter json, GridFrame frame)
    {
        json.WriteNumber("rows", frame.Rows);
        json.WriteNumber("columns", frame.Columns);
        json.WriteNumber("cell_m", frame.CellSize);
        json.WriteNumber("west", frame.West);
        json.WriteNumber("north", frame.North);
    }
}
