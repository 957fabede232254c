using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>GeoTIFF tiles of one grid read a window at a time as one, so that ground larger than memory may lie in many files.</summary>
/// <remarks>
/// <para>Units: metres, as <see cref="GeoTiffGridSource"/> reads them. Missing: NaN where no file has a height.</para>
/// <para>Promises: where files overlap, the first in order that has a height is kept. Files of another coordinate system, another cell size or cells
/// that do not fall on those of the first are refused, since they would have to be resampled.</para>
/// <para>Cost: every file's header once; then each block that a window touches, as long as it is kept. Few files are open at a time.</para>
/// </remarks>
public sealed class GeoTiffMosaicSource : IGridSource<float>, IDisposable
{
    private const int MostOpen = 8;
    private const double SameCell = 0.02;

    private readonly ElevationReadOptions? _options;
    private readonly (string Path, CellRange Range)[] _files;
    private readonly List<(int File, GeoTiffGridSource Source)> _open = [];

    private GeoTiffMosaicSource((string, CellRange)[] files, GridFrame frame, GroundCrs crs, IReadOnlyList<string> notes, ElevationReadOptions? options) =>
        (_files, Frame, Crs, Notes, _options) = (files, frame, crs, notes, options);

    /// <inheritdoc/>
    public GridFrame Frame { get; }

    /// <summary>The projected system the grid lies in.</summary>
    public GroundCrs Crs { get; }

    /// <summary>Plain sentences on what was assumed or changed.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>The files, in their order.</summary>
    public IReadOnlyList<string> Files => [.. _files.Select(f => f.Path)];

    /// <summary>Opens files.</summary>
    /// <param name="paths">Files, and folders whose elevation files are tiles in the order of their names.</param>
    /// <param name="options">What to take for granted; null for nothing. Its most cells do not count here.</param>
    /// <exception cref="GroundDataException">A file is absent, is no GeoTIFF, would have to be resampled, or they do not go together.</exception>
    public static GeoTiffMosaicSource Open(IReadOnlyList<string> paths, ElevationReadOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(paths);
        ArgumentOutOfRangeException.ThrowIfZero(paths.Count, nameof(paths));
        List<(string Path, GridFrame Frame)> files = [];
        GroundCrs? crs = null;
        List<string> notes = [];
        foreach (string path in ElevationReader.Files(paths))
        {
            using GeoTiffGridSource file = GeoTiffGridSource.Open(path, options, 0);
            crs ??= file.Crs;
            if (file.Crs.EpsgCode != crs.EpsgCode || file.Crs.Name != crs.Name)
            {
                throw new GroundDataException($"{Path.GetFileName(path)} is in {file.Crs.Name} and {Path.GetFileName(files[0].Path)} in {crs.Name}: bring all tiles to one coordinate system, or give those of one only.");
            }

            files.Add((path, file.Frame));
            notes.AddRange(file.Notes.Except(notes).ToArray());
        }

        GridFrame first = files[0].Frame;
        double cell = first.CellSize;
        (double Column, double Row)[] corners = [.. files.Select(f => ((f.Frame.West - first.West) / cell, (first.North - f.Frame.North) / cell))];
        int unfit = Array.FindIndex(corners, c => Math.Abs(c.Column - Math.Round(c.Column)) > SameCell || Math.Abs(c.Row - Math.Round(c.Row)) > SameCell);
        unfit = unfit >= 0 ? unfit : files.FindIndex(f => Math.Abs(f.Frame.CellSize - cell) * Math.Max(f.Frame.Rows, f.Frame.Columns) > SameCell * cell);
        if (unfit >= 0)
        {
            throw new GroundDataException($"{Path.GetFileName(files[unfit].Path)} does not lie on the cells of {Path.GetFileName(files[0].Path)}, so it cannot be read a window at a time beside it: bring all tiles to one grid first.");
        }

        double left = Math.Round(corners.Min(c => c.Column));
        double top = Math.Round(corners.Min(c => c.Row));
        (string, CellRange)[] placed = [.. files.Select((f, i) =>
            (f.Path, new CellRange((int)(Math.Round(corners[i].Row) - top), (int)(Math.Round(corners[i].Column) - left), f.Frame.Rows, f.Frame.Columns)))];
        GridFrame frame = files.Count == 1 ? first : new GridFrame(
            placed.Max(p => checked(p.Item2.Row + p.Item2.Rows)), placed.Max(p => checked(p.Item2.Column + p.Item2.Columns)), cell, first.West + (left * cell), first.North - (top * cell));
        return new GeoTiffMosaicSource(placed, frame, crs!, notes, options);
    }

    /// <inheritdoc/>
    /// <exception cref="GroundDataException">A block is damaged, or a file is gone.</exception>
    public void Read(CellRange range, Span<float> values)
    {
        WindowRules.Check(range, Frame, values.Length);

        values.Fill(float.NaN);
        float[] part = [];
        bool touched = false;
        for (int f = 0; f < _files.Length; f++)
        {
            CellRange file = _files[f].Range;
            int top = Math.Max(file.Row, range.Row), bottom = Math.Min(file.Row + file.Rows, range.Row + range.Rows);
            int left = Math.Max(file.Column, range.Column), right = Math.Min(file.Column + file.Columns, range.Column + range.Columns);
            if (bottom <= top || right <= left)
            {
                continue;
            }

            CellRange common = new(top - file.Row, left - file.Column, bottom - top, right - left);
            if (!touched && common.CellCount == range.CellCount)
            {
                SourceOf(f).Read(common, values);
                touched = true;
                continue;
            }

            touched = true;
            part = part.Length >= common.CellCount ? part : new float[common.CellCount];
            Span<float> read = part.AsSpan(0, (int)common.CellCount);
            SourceOf(f).Read(common, read);
            for (int r = 0; r < common.Rows; r++)
            {
                Span<float> to = values.Slice(((top + r - range.Row) * range.Columns) + left - range.Column, common.Columns);
                ReadOnlySpan<float> from = read.Slice(r * common.Columns, common.Columns);
                for (int c = 0; c < to.Length; c++)
                {
                    to[c] = float.IsNaN(to[c]) ? from[c] : to[c];
                }
            }
        }
    }

    /// <summary>Closes the files.</summary>
    public void Dispose()
    {
        _open.ForEach(o => o.Source.Dispose());
        _open.Clear();
    }

    private GeoTiffGridSource SourceOf(int file)
    {
        int at = _open.FindIndex(o => o.File == file);
        if (at < 0)
        {
            if (_open.Count == MostOpen)
            {
                _open[0].Source.Dispose();
                _open.RemoveAt(0);
            }

            _open.Add((file, GeoTiffGridSource.Open(_files[file].Path, _options, GeoTiffGridSource.DefaultCacheBytes / MostOpen)));
            at = _open.Count - 1;
        }

        return _open[at].Source;
    }
}
