using System.Numerics;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary>A folder of rasters and shapes being written, and the list of them that goes beside.</summary>
internal sealed class RasterFolder(OutputFolder folder, RasterOrigin ground, ProgressLine progress, CancellationToken stop)
{
    /// <summary>The stage in which pictures are drawn, as progress has it.</summary>
    public const string Profiles = "drawing profiles";

    private readonly List<RasterFile> _files = [];

    /// <summary>What was made from what.</summary>
    public PlanProvenance Provenance { get; } = new(Product.Version, ground.Inputs, ground.Notes);

    public void Write(string name, string what, string unit, ElevationGrid grid)
    {
        Create(name, stream => GeoTiffWriter.Write(stream, grid, ground.Crs, Options(what, unit, null), stop));
        List(name, what, unit, ValueRange.Of(grid.Heights, float.NaN));
    }

    /// <summary>Writes a grid of measures.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="what">What the values are.</param>
    /// <param name="unit">Their unit.</param>
    /// <param name="grid">The values.</param>
    /// <param name="recur">Whether the same values come back all over the grid.</param>
    public void Write(string name, string what, string unit, Grid<float> grid, bool recur = false)
    {
        Create(name, stream => GeoTiffWriter.Write(stream, grid, ground.Crs, Options(what, unit, null) with { ValuesRecur = recur }, stop));
        List(name, what, unit, ValueRange.Of(grid.Values, float.NaN));
    }

    /// <summary>Writes a grid of sums.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="what">What the values are.</param>
    /// <param name="unit">Their unit.</param>
    /// <param name="grid">The values.</param>
    /// <param name="recur">Whether the same values come back all over the grid, as sums of few steps do.</param>
    public void Write(string name, string what, string unit, Grid<double> grid, bool recur = false)
    {
        Create(name, stream => GeoTiffWriter.Write(stream, grid, ground.Crs, Options(what, unit, null) with { ValuesRecur = recur }, stop));
        List(name, what, unit, ValueRange.Of(grid.Values, double.NaN));
    }

    public void Write(string name, string what, string unit, Grid<byte> grid, byte missing)
    {
        Create(name, stream => GeoTiffWriter.Write(stream, grid, ground.Crs, Options(what, unit, missing), stop));
        List(name, what, unit, ValueRange.Of(grid.Values, missing));
    }

    public void Write(string name, string what, string unit, Grid<int> grid, int missing)
    {
        Create(name, stream => GeoTiffWriter.Write(stream, grid, ground.Crs, Options(what, unit, missing), stop));
        List(name, what, unit, ValueRange.Of(grid.Values, missing));
    }

    /// <summary>Writes a grid too large to hold.</summary>
    public void Write<T>(string name, string what, string unit, IGridSource<T> source, T missing, bool heights = false, bool recur = false)
        where T : unmanaged, INumber<T>
    {
        long? whole = typeof(T) == typeof(byte) ? long.CreateChecked(missing) : null;
        RangeTaker<T> taker = new(source, missing);
        Create(name, stream => GeoTiffWriter.Write(stream, taker, ground.Crs, Options(what, unit, whole) with { AreHeights = heights, ValuesRecur = recur }, stop));
        List(name, what, unit, (taker.Least, taker.Greatest, taker.Missing));
    }

    /// <summary>Writes several grids of measures side by side, a band of rows at a time.</summary>
    /// <param name="stage">What progress calls it.</param>
    /// <param name="files">Their names, what their values are, and in which unit.</param>
    /// <param name="frame">Where they lie.</param>
    /// <param name="fill">Given the first row of a band, its number of rows, and for each grid where its values go, row after row.</param>
    public void WriteBands(string stage, IReadOnlyList<(string Name, string What, string Unit)> files, GridFrame frame, Action<int, int, IReadOnlyList<float[]>> fill)
    {
        (double Least, double Greatest, long Missing)[] ranges = [.. files.Select(_ => (double.PositiveInfinity, double.NegativeInfinity, 0L))];
        List<Stream> streams = [];
        try
        {
            foreach ((string name, _, _) in files)
            {
                streams.Add(folder.Create(name));
            }

            GeoTiffBands.Write(streams, [.. files.Select(f => Options(f.What, f.Unit, null))], frame, ground.Crs, (first, rows, bands) =>
            {
                progress.Show(stage, (double)first / frame.Rows);
                fill(first, rows, bands);
                for (int i = 0; i < ranges.Length; i++)
                {
                    (double least, double greatest, long missing) = ValueRange.Of<float>(bands[i].AsSpan(0, rows * frame.Columns), float.NaN);
                    ranges[i] = (Math.Min(ranges[i].Least, least), Math.Max(ranges[i].Greatest, greatest), ranges[i].Missing + missing);
                }
            }, stop);
        }
        finally
        {
            streams.ForEach(s => s.Dispose());
        }

        for (int i = 0; i < ranges.Length; i++)
        {
            List(files[i].Name, files[i].What, files[i].Unit, ranges[i]);
        }
    }

    /// <summary>Writes a raster whose values are known already.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="what">What the values are.</param>
    /// <param name="unit">Their unit.</param>
    /// <param name="range">Least and greatest, and how many are missing.</param>
    /// <param name="write">Writes it.</param>
    public void WriteFrom(string name, string what, string unit, (double Least, double Greatest, long Missing) range, Action<Stream> write)
    {
        Create(name, write);
        List(name, what, unit, range);
    }

    /// <summary>Writes a file of shapes.</summary>
    public void WriteShapes(string name, string what, int count, Action<Stream> write)
    {
        Create(name, write);
        _files.Add(new RasterFile(name, what) { Count = count });
    }

    /// <summary>Writes one of several pictures.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="share">Share of them that are drawn already, 0 to 1.</param>
    /// <param name="write">Draws it.</param>
    public void WritePicture(string name, double share, Action<Stream> write)
    {
        Create(name, write, Profiles, share);
        _files.Add(new RasterFile(name, "long profile") { IsPicture = true });
    }

    /// <summary>Writes a map to look at.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="what">What it shows.</param>
    /// <param name="write">Draws it.</param>
    public void WriteMap(string name, string what, Action<Stream> write)
    {
        Create(name, write);
        _files.Add(new RasterFile(name, what) { IsPicture = true });
    }

    /// <summary>Writes the list of the folder's files, with what they hold.</summary>
    public RasterView Finish(string name, IRasterSettings settings)
    {
        RasterView made = new(ground, settings, _files, new OutputFiles(folder, []));
        using Stream stream = folder.Create(name);
        made.WriteList(stream);
        return made;
    }

    /// <summary>What goes with a raster's values.</summary>
    public static GeoTiffWriteOptions Options(string what, string unit, long? missing) => new()
    {
        Description = unit.Length == 0 ? what : $"{what}, {unit}",
        Software = Product.Name,
        MissingValue = missing,
    };

    private void Create(string name, Action<Stream> write, string? stage = null, double? share = null)
    {
        stop.ThrowIfCancellationRequested();
        progress.Show(stage ?? "writing " + name, share);
        using Stream stream = folder.Create(name);
        write(stream);
    }

    private void List(string name, string what, string unit, (double Least, double Greatest, long Missing) range) =>
        _files.Add(new RasterFile(name, what) { Unit = unit, Range = range });

    /// <summary>Takes the range of a grid while it is read once, window by window.</summary>
    private sealed class RangeTaker<T>(IGridSource<T> source, T missing) : IGridSource<T>
        where T : unmanaged, INumber<T>
    {
        public GridFrame Frame => source.Frame;

        public double Least { get; private set; } = double.PositiveInfinity;

        public double Greatest { get; private set; } = double.NegativeInfinity;

        public long Missing { get; private set; }

        public void Read(CellRange range, Span<T> values)
        {
            source.Read(range, values);
            (double least, double greatest, long gone) = ValueRange.Of((ReadOnlySpan<T>)values, missing);
            (Least, Greatest, Missing) = (Math.Min(Least, least), Math.Max(Greatest, greatest), Missing + gone);
        }
    }
}
