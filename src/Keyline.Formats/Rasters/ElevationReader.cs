using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Reads elevation from a GeoTIFF, an ESRI ASCII grid, a list of x, y, z on a regular grid, or a table of survey shots;
/// from one file, or from tiles that together hold the ground.</summary>
/// <remarks>
/// <para>Units: whatever the file holds comes out in metres, on square cells of a projected system.</para>
/// <para>Missing: nodata, masked and infinite heights are NaN.</para>
/// <para>Promises: the kind of file is told from its content, not its name. The size a header claims is checked against the
/// file and against <see cref="ElevationReadOptions.MaximumCells"/> before memory is taken. With a
/// <see cref="ElevationReadOptions.Window"/> only the blocks, rows or tiles that hold it are decoded. What cannot be read as
/// heights on known ground is refused with one sentence naming the file and the remedy; what had to be assumed or changed is in
/// <see cref="ElevationSource.Notes"/>. The same files give the same grid, whatever the number of cores.</para>
/// <para>Cost: proportional to what is decoded; about 20 ms for a million cells.</para>
/// <para>Source: TIFF 6.0, BigTIFF, OGC GeoTIFF 1.1, the ESRI ASCII grid format; blocks are decoded by LibTiff.NET or the
/// framework's inflate.</para>
/// </remarks>
public static class ElevationReader
{
    private const int HeadLength = 512;
    private const int MostTiles = 60_000;

    // A step between tiles that shows in rip lines: their grade is judged over 10 m.
    private const double NotedStep = 0.03;

    private static readonly string[] TileEndings = [".tif", ".tiff", ".asc", ".xyz"];

    /// <summary>Reads a file, and the .prj or world file beside it where it needs one; or the tiles of a folder.</summary>
    /// <param name="path">The file, or a folder whose elevation files (.tif, .tiff, .asc, .xyz) are tiles, in the order of their names.</param>
    /// <param name="options">What to take for granted; null for nothing.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    /// <exception cref="GroundDataException">The file is absent or cannot be used; the message is for whoever supplied it.</exception>
    public static ElevationSource Read(string path, ElevationReadOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        return Read([path], options, cancellationToken);
    }

    /// <summary>Reads tiles, and what lies beside each.</summary>
    /// <param name="paths">Files and folders; where tiles overlap, heights of the one that comes first are kept.</param>
    /// <param name="options">What to take for granted; null for nothing.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    /// <exception cref="GroundDataException">A file is absent or cannot be used, or they do not go together; the message is for whoever supplied them.</exception>
    /// <exception cref="ArgumentException">The list is empty.</exception>
    public static ElevationSource Read(IReadOnlyList<string> paths, ElevationReadOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(paths);
        ArgumentOutOfRangeException.ThrowIfZero(paths.Count, nameof(paths));
        options ??= new ElevationReadOptions();
        options.Validate();
        IReadOnlyList<string> files = Files(paths);
        List<Tile> tiles = [];
        try
        {
            foreach (string file in files)
            {
                cancellationToken.ThrowIfCancellationRequested();
                RawFile opened = OpenFile(file, options, cancellationToken);
                Tile tile = new(opened, RangeOf(opened, options), file);
                tiles.Add(tile);
                if (tile.Range is null)
                {
                    opened.Dispose();
                }
            }

            string whole = paths.Count == 1 ? Path.GetFileName(Path.TrimEndingDirectorySeparator(Path.GetFullPath(paths[0]))) : $"{tiles[0].File.Name} and the tiles beside it";
            return Read(tiles, whole, options, cancellationToken);
        }
        finally
        {
            tiles.ForEach(t => t.File.Dispose());
        }
    }

    /// <summary>Reads a stream, which has no files beside it.</summary>
    /// <param name="stream">A stream that can seek; read from its beginning and left open.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="options">What to take for granted; null for nothing.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    /// <exception cref="GroundDataException">The content cannot be used.</exception>
    /// <exception cref="ArgumentException">The stream cannot seek.</exception>
    public static ElevationSource Read(Stream stream, string name, ElevationReadOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(name);
        if (!stream.CanSeek)
        {
            throw new ArgumentException("The stream must be able to seek.", nameof(stream));
        }

        options ??= new ElevationReadOptions();
        options.Validate();
        using RawFile file = Guard(name, () => Open(stream, name, Sidecars.None, options, cancellationToken));
        return Read([new Tile(file, RangeOf(file, options), null)], name, options, cancellationToken);
    }

    /// <summary>Turns the errors of reading into sentences.</summary>
    internal static T Guard<T>(string name, Func<T> read)
    {
        try
        {
            return read();
        }
        catch (UnreadFormatException e)
        {
            throw new GroundDataException($"{name}: {e.Message}.", e) { Fault = GroundDataFault.Format };
        }
        catch (Exception e) when (e is InvalidDataException or EndOfStreamException or OverflowException)
        {
            throw new GroundDataException(e is InvalidDataException ? $"{name}: {e.Message}." : $"{name}: its header is damaged; fetch the file again.", e);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new GroundDataException($"{name}: the elevation file cannot be read ({e.Message.TrimEnd('.')}).", e);
        }
    }

    private static CellRange? RangeOf(RawFile file, ElevationReadOptions options) =>
        options.Window is { } window ? window.CellsIn(file.Mapping, file.Crs, file.Rows, file.Columns) : file.Whole;

    private static ElevationSource Read(List<Tile> tiles, string whole, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        List<Tile> wanted = tiles.FindAll(t => t.Range is not null);
        if (wanted.Count == 0)
        {
            throw Elsewhere(tiles, whole, options.Window!);
        }

        List<RawFile> used = wanted.ConvertAll(t => t.File);
        List<CellRange> ranges = wanted.ConvertAll(t => t.Range!.Value);
        RawGround raw;
        IReadOnlyList<TileSeam> seams = [];
        string name = used.Count == 1 ? used[0].Name : FormattableString.Invariant($"{used[0].Name} and {used.Count - 1} more");
        if (used.Count == 1)
        {
            if (ranges[0].CellCount > options.MaximumCells)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: the ground wanted is {ranges[0].Rows} x {ranges[0].Columns} cells, more than the {options.MaximumCells} that are read at once; give a smaller field."));
            }

            raw = Guard(name, () => used[0].Cut(ranges[0], cancellationToken));
        }
        else
        {
            (raw, seams) = Guard(whole, () => RawMosaic.Join(used, ranges, options.MaximumCells, cancellationToken));
            raw.Notes.Insert(0, FormattableString.Invariant($"Heights were put together from {used.Count} of {tiles.Count} tiles."));
            raw.Notes.AddRange(seams.Where(s => Math.Abs(s.Step) > NotedStep || Math.Abs(s.MeanDifference) > NotedStep).Select(Sentence));
        }

        string?[] datums = [.. used.Select(u => u.VerticalDatum).Distinct()];
        if (datums.Length > 1)
        {
            raw.Notes.Add($"The tiles do not agree on what their heights are counted from ({string.Join(", ", datums.Select(d => d ?? "not stated"))}): a step of decimetres to metres may run between them.");
        }

        ElevationSource source = GroundAssembler.Finish(raw, name, options, cancellationToken);
        List<string> notes = [.. source.Notes];
        AssumedMetres.Doubt(source.Grid, notes);
        return new ElevationSource(name, source.Grid, source.Crs, notes) { VerticalDatum = datums.Length == 1 ? datums[0] : null, Survey = used.Count == 1 ? used[0].Survey : null, Files = [.. wanted.Select(t => t.Path).OfType<string>()], Seams = seams };
    }

    private static string Sentence(TileSeam seam)
    {
        string overlap = seam.OverlapCells > 0
            ? FormattableString.Invariant($"; where both have heights they differ by {seam.MeanDifference:0.00} m on average, at most {seam.GreatestDifference:0.00} m at {seam.Longitude:0.00000}, {seam.Latitude:0.00000}")
            : "";
        string step = double.IsNaN(seam.Step) ? "" : FormattableString.Invariant($" with a step of {seam.Step:0.00} m");
        return $"{seam.First} meets {seam.Second}{step}{overlap}: a step between tiles looks like a bank, so check lines that cross it.";
    }

    private static GroundDataException Elsewhere(List<Tile> tiles, string whole, GroundWindow window)
    {
        RawFile first = tiles[0].File;
        (double x, double y) = first.Mapping.At(first.Columns / 2.0, first.Rows / 2.0);
        (double lon, double lat) = first.Crs.ToLonLat(x, y);
        return new GroundDataException(FormattableString.Invariant(
            $"{whole}: it has no ground at the field: the field lies about {window.LonLat.Centre.X:0.000}, {window.LonLat.Centre.Y:0.000} (longitude, latitude) and {(tiles.Count == 1 ? "the elevation" : "the first of the tiles")} about {lon:0.000}, {lat:0.000}; give the elevation of the field or, where its coordinate system is stated wrongly, say the right one{Zone(window.LonLat.Centre)}."));
    }

    // The zone is floor((longitude + 180) / 6) + 1, but for Norway's and Svalbard's, where a neighbour serves as well.
    private static string Zone(NetTopologySuite.Geometries.Coordinate lonLat)
    {
        int zone = Math.Clamp((int)Math.Floor((lonLat.X + 180) / 6) + 1, 1, 60);
        return lonLat.Y is > 84 or < -80 ? "" : FormattableString.Invariant($", as EPSG:{(lonLat.Y < 0 ? 32700 : 32600) + zone} if it is the UTM zone that the field lies in");
    }

    /// <summary>The files among paths, folders opened up.</summary>
    internal static List<string> Files(IReadOnlyList<string> paths)
    {
        List<string> files = [];
        foreach (string path in paths)
        {
            if (!Directory.Exists(path))
            {
                files.Add(path);
                continue;
            }

            string[] inside = [.. Directory.EnumerateFiles(path).Where(f => TileEndings.Contains(Path.GetExtension(f).ToLowerInvariant())).Order(StringComparer.Ordinal)];
            if (inside.Length is 0 or > MostTiles)
            {
                throw new GroundDataException(FormattableString.Invariant($"{path}: the folder holds {inside.Length} elevation files ({string.Join(", ", TileEndings)}); give a folder with the tiles of the farm."));
            }

            files.AddRange(inside);
        }

        return files;
    }

    private static RawFile OpenFile(string path, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        string name = Path.GetFileName(path);
        FileStream stream;
        try
        {
            stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new GroundDataException(
                e is FileNotFoundException or DirectoryNotFoundException
                    ? $"{path}: there is no such elevation file; check the path."
                    : $"{path}: the elevation file cannot be opened ({e.Message.TrimEnd('.')}).", e);
        }

        try
        {
            RawFile file = Guard(name, () => Open(stream, name, new Sidecars(path), options, cancellationToken));
            file.Owned = stream;
            return file;
        }
        catch (GroundDataException e) when (e.Fault != GroundDataFault.Data && options.Converter is not null)
        {
            stream.Dispose();
            return OpenConverted(path, name, e, options, cancellationToken);
        }
        catch
        {
            stream.Dispose();
            throw;
        }
    }

    // What the converter cannot read either is told as it was first found.
    private static RawFile OpenConverted(string path, string name, GroundDataException first, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        bool toUtm = first.Fault == GroundDataFault.CoordinateSystem;
        while (true)
        {
            Stream made;
            try
            {
                made = options.Converter!.Convert(path, options.Window, toUtm, cancellationToken);
            }
            catch (GroundDataException)
            {
                throw first;
            }

            try
            {
                RawFile file = Guard(name, () => Open(made, name, Sidecars.None, options, cancellationToken));
                file.Owned = made;
                file.Notes.Insert(0, toUtm
                    ? $"Another reader brought the file to {file.Crs.Name}, with the datum shift it thinks best, since it is not read here as it is ({first.Message.TrimEnd('.')})."
                    : $"Another reader converted the file, since it is not read here as it is ({first.Message.TrimEnd('.')}).");
                return file;
            }
            catch (GroundDataException e)
            {
                made.Dispose();
                if (toUtm || e.Fault != GroundDataFault.CoordinateSystem)
                {
                    throw;
                }

                toUtm = true;
            }
        }
    }

    private static RawFile Open(Stream stream, string name, Sidecars beside, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        byte[] head = new byte[(int)Math.Min(stream.Length, HeadLength)];
        stream.Position = 0;
        stream.ReadExactly(head);
        if (TiffDirectory.IsTiff(head))
        {
            return GeoTiffReader.Open(stream, name, beside, options);
        }

        if (AsciiGridReader.IsAsciiGrid(head))
        {
            return AsciiGridReader.Open(stream, name, beside, options);
        }

        if (SurveyTable.IsSurvey(head))
        {
            return SurveyReader.Read(stream, name, beside, options, cancellationToken);
        }

        return XyzGridReader.IsXyz(head)
            ? XyzGridReader.Read(ReadAll(stream, name), name, beside, options, cancellationToken)
            : throw (head.Length == 0
                ? new InvalidDataException("it is empty; fetch the file again")
                : new UnreadFormatException("it is neither a GeoTIFF nor an ESRI ASCII grid, nor a list of x, y, z, nor a table of survey shots; export the elevation as one of these"));
    }

    private static byte[] ReadAll(Stream stream, string name)
    {
        MemoryLimit.Check(stream.Length, 2, name);
        byte[] all = stream.Length <= Array.MaxLength ? new byte[stream.Length] : throw new InvalidDataException("it is larger than is read at once; cut it to the farm");
        stream.Position = 0;
        stream.ReadExactly(all);
        return all;
    }

    /// <summary>An elevation file and the cells of it that are wanted; null for none.</summary>
    private sealed record Tile(RawFile File, CellRange? Range, string? Path);
}
