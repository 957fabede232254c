using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>A window at a time gives what reading at once gives.</summary>
public sealed class GeoTiffGridSourceTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-window-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private string Write(int rows, int columns)
    {
        string path = Path.Combine(_folder, "ground.tif");
        float[] z = [.. Enumerable.Range(0, rows * columns).Select(i => i % 41 == 3 ? float.NaN : 200 + (float)(9 * Math.Sin(i / 77.0)) + (i % columns * 0.01f))];
        using FileStream stream = File.Create(path);
        GeoTiffWriter.Write(stream, ElevationGrid.Copy(new GridFrame(rows, columns, 2, 500_000, 4_000_000), z), GroundCrs.FromEpsg(32610));
        return path;
    }

    [Theory]
    [InlineData(0)]
    [InlineData(300_000)]
    [InlineData(GeoTiffGridSource.DefaultCacheBytes)]
    public void Read_Windows_AreThoseOfTheWhole(long cache)
    {
        string path = Write(700, 530);
        ElevationGrid whole = ElevationReader.Read(path).Grid;
        using GeoTiffGridSource source = GeoTiffGridSource.Open(path, null, cache);
        Assert.Equal(whole.Frame, source.Frame);
        Assert.Equal(32610, source.Crs.EpsgCode);
        foreach (CellRange range in new CellRange[] { new(0, 0, 700, 530), new(250, 250, 20, 20), new(699, 529, 1, 1), new(100, 0, 300, 530), new(0, 511, 700, 2) })
        {
            float[] window = new float[range.CellCount];
            source.Read(range, window);
            float[] expected = [.. Enumerable.Range(0, window.Length).Select(i => whole[range.Row + (i / range.Columns), range.Column + (i % range.Columns)])];
            Assert.Equal(expected, window);
        }
    }

    [Fact]
    public void Open_WhatCannotBeWindowed_IsRefusedWithAWayOut()
    {
        string text = Path.Combine(_folder, "ground.asc");
        File.WriteAllText(text, "ncols 2\nnrows 1\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2\n");
        Assert.Contains("only a GeoTIFF", Assert.Throws<GroundDataException>(() => GeoTiffGridSource.Open(text)).Message, StringComparison.Ordinal);
        Assert.Contains("no such elevation file", Assert.Throws<GroundDataException>(() => GeoTiffGridSource.Open(Path.Combine(_folder, "absent.tif"))).Message, StringComparison.Ordinal);
        string path = Write(300, 300);
        Assert.Contains("in degrees", Assert.Throws<GroundDataException>(() => GeoTiffGridSource.Open(path, new ElevationReadOptions { Crs = GroundCrs.FromEpsg(4326) })).Message, StringComparison.Ordinal);
        byte[] bytes = File.ReadAllBytes(path);
        Array.Fill(bytes, (byte)0xAA, bytes.Length / 4, bytes.Length / 2);
        File.WriteAllBytes(path, bytes);
        Assert.Throws<GroundDataException>(() =>
        {
            using GeoTiffGridSource source = GeoTiffGridSource.Open(path);
            source.Read(new CellRange(0, 0, 300, 300), new float[90_000]);
        });
    }

    [Fact]
    public void Read_WrongCalls_AreRefused()
    {
        using GeoTiffGridSource source = GeoTiffGridSource.Open(Write(30, 40));
        Assert.Throws<ArgumentOutOfRangeException>(() => source.Read(new CellRange(29, 0, 2, 2), new float[4]));
        Assert.Throws<ArgumentException>(() => source.Read(new CellRange(0, 0, 2, 2), new float[5]));
        Assert.Throws<ArgumentOutOfRangeException>(() => GeoTiffGridSource.Open("x.tif", null, -1));
    }
}
