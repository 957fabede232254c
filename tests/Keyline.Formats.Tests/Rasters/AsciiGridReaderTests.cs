using System.Text;
using Keyline.Elevation;
using Keyline.Formats.Tests.Support;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>ESRI ASCII grids: keys, order of values and the -9999 of a grid without NODATA_value as in Esri, ArcGIS Desktop 10 help, "Esri ASCII
/// raster format" (from memory), and in the GDAL documentation of the driver AAIGrid; the rest as programs write them.</summary>
public sealed class AsciiGridReaderTests
{
    private const string Plain = "ncols 3\nnrows 2\nxllcorner 500000\nyllcorner 4000000\ncellsize 10\nNODATA_value -1\n1 2 3\n4 5 -1\n";
    private static readonly ElevationReadOptions InUtm = new() { Crs = GroundCrs.FromEpsg(32610) };

    [Theory]
    [InlineData(Plain)]
    [InlineData("NCOLS\t3\r\nNROWS\t2\r\nXLLCENTER\t500005\r\nYLLCENTER\t4000005\r\nCELLSIZE\t1.0e1\r\nNODATA_VALUE\t-1\r\n1.0E+0\t2\t+3\r\n4\t5\t-1.000\r\n")]
    [InlineData("nodata_value -1 cellsize 10 yllcorner 4000000 xllcorner 500000 nrows 2 ncols 3 1 2 3 4 5 -1")]
    [InlineData("\uFEFFncols 3\rnrows 2\rxllcorner 500000\ryllcorner 4000000\rcellsize 10\rNODATA_value -1\r1\r2\r3\r4\r5\rnan")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 500000\nyllcorner 4000000\ndx 10\ndy 10\n1 2 3\n4 5 -9999\n")]
    public void Read_EveryWriting_GivesTheSameGrid(string text)
    {
        ElevationGrid grid = Read(text, InUtm).Grid;
        Assert.Equal(new GridFrame(2, 3, 10, 500_000, 4_000_020), grid.Frame);
        Assert.Equal([1, 2, 3, 4, 5, float.NaN], grid.Heights.ToArray());
    }

    [Fact]
    public void Read_UnderDecimalCommas_IsTheSame() =>
        Assert.Equal(12.5f, InCulture.OfCommas(() => Read(Plain.Replace("5 -1", "12.5 -1", StringComparison.Ordinal), InUtm).Grid)[1, 1]);

    [Theory]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\n1 2 3 4 5 6", "cellsize")]
    [InlineData("ncols 3\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2 3", "nrows")]
    [InlineData("ncols 3\nnrows 2\nyllcorner 0\ncellsize 1\n1 2 3 4 5 6", "xllcorner")]
    [InlineData("ncols 3\nncols 3\nnrows 2\n", "twice")]
    [InlineData("ncols 0\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n", "ncols")]
    [InlineData("ncols 2.5\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n", "ncols")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize -1\n1 2 3 4 5 6", "above 0")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize nan\n1 2 3 4 5 6", "above 0")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\nzunits 5\n1 2 3 4 5 6", "zunits")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2 3\n4 5,5 6", "line 7 holds \"5,5\"")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2 3\n4 five 6", "line 7 holds \"five\"")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n1.5 2.5 3.5\n4.5 5.5", "5 of the 6")]
    [InlineData("ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2 3\n4 5 6 7", "more than the 6")]
    [InlineData("ncols 30000\nnrows 30000\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2 3", "claims 30000 x 30000")]
    [InlineData("ncols 3000\nnrows 3000\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2 3", "more than the file can hold")]
    public void Read_Unusable_IsRefusedInOneSentence(string text, string says)
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => Read(text, InUtm));
        Assert.StartsWith("g.asc: ", e.Message, StringComparison.Ordinal);
        Assert.Contains(says, e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_PrjBeside_GivesTheSystem()
    {
        string folder = Directory.CreateTempSubdirectory("keyline").FullName;
        try
        {
            string path = Path.Combine(folder, "hill.asc");
            File.WriteAllText(path, Plain);
            Assert.Contains(".prj", Assert.Throws<GroundDataException>(() => ElevationReader.Read(path)).Message, StringComparison.Ordinal);
            File.WriteAllText(Path.Combine(folder, "hill.prj"), GroundCrs.FromEpsg(26915).Wkt);
            ElevationSource source = ElevationReader.Read(path);
            Assert.Equal((26915, "hill.asc"), (source.Crs.EpsgCode, source.Name));
            File.WriteAllText(Path.Combine(folder, "hill.prj"), "PROJCS[\"half");
            Assert.StartsWith("hill.asc: ", Assert.Throws<GroundDataException>(() => ElevationReader.Read(path)).Message, StringComparison.Ordinal);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void Read_FootSystem_WantsToKnowTheHeightUnit()
    {
        GroundCrs feet = GroundCrs.FromEpsg(2227);
        string text = Plain.Replace("500000", "6000000", StringComparison.Ordinal).Replace("4000000", "2000000", StringComparison.Ordinal);
        Assert.Contains("metres or feet", Assert.Throws<GroundDataException>(() => Read(text, new ElevationReadOptions { Crs = feet })).Message, StringComparison.Ordinal);
        ElevationSource source = Read(text, new ElevationReadOptions { Crs = feet, MetresPerHeightUnit = 0.3048 });
        Assert.Equal(2 * 0.3048f, source.Grid[0, 1], 1e-6f);
        Assert.Equal(10 * 1200.0 / 3937, source.Grid.Frame.CellSize, 1e-12);
    }

    private static ElevationSource Read(string text, ElevationReadOptions options) => ElevationReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "g.asc", options);
}
