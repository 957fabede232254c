using System.Globalization;
using System.Text;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Formats.Tests.Rasters;

public sealed class XyzGridReaderTests
{
    private static readonly ElevationReadOptions Utm = new() { Crs = GroundCrs.FromEpsg(32610) };

    private static ElevationSource Read(string text, ElevationReadOptions? options = null)
    {
        using MemoryStream stream = new(Encoding.UTF8.GetBytes(text));
        return ElevationReader.Read(stream, "ground.xyz", options ?? Utm);
    }

    private static string Refused(string text, ElevationReadOptions? options = null) => Assert.Throws<GroundDataException>(() => Read(text, options)).Message;

    // Three rows of four at 2.5 m, one place not listed, lines out of order, as each way of parting numbers would have it.
    [Theory]
    [InlineData(" ", "")]
    [InlineData("\t", "x\ty\tz\n")]
    [InlineData(",", "x,y,z\n")]
    [InlineData(";", "x;y;height\n")]
    [InlineData(", ", "")]
    public void Read_AnySeparatorAnyOrder_GivesTheGrid(string between, string first)
    {
        List<string> lines = [];
        for (int k = 0; k < 12; k++)
        {
            int i = k * 5 % 12;
            if (i != 7)
            {
                lines.Add(string.Join(between, new[] { 600_000 + (2.5 * (i % 4)), 4_100_000 - (2.5 * (i / 4)), 100 + (i * 0.25) }.Select(v => v.ToString(CultureInfo.InvariantCulture))));
            }
        }

        ElevationGrid grid = Read(first + string.Join("\r\n", lines) + "\n").Grid;
        Assert.Equal(new GridFrame(3, 4, 2.5, 600_000 - 1.25, 4_100_000 + 1.25), grid.Frame);
        for (int i = 0; i < 12; i++)
        {
            Assert.Equal(i == 7 ? float.NaN : 100 + (i * 0.25f), grid[i / 4, i % 4]);
        }
    }

    // Thirds of a metre written to a centimetre are off by up to half a centimetre, and still one grid.
    [Fact]
    public void Read_RoundedPlaces_LieOnOneGrid()
    {
        StringBuilder text = new();
        for (int i = 0; i < 30 * 40; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{500000 + (i % 40 / 3.0):F3} {4000000 + (i / 40 / 3.0):F3} {i % 7}\n");
        }

        ElevationGrid grid = Read(text.ToString()).Grid;
        Assert.Equal((30, 40), (grid.Frame.Rows, grid.Frame.Columns));
        Assert.Equal(1 / 3.0, grid.Frame.CellSize, 4);
        Assert.Equal(29 * 40 % 7, grid[0, 0]);
    }

    [Fact]
    public void Read_FeetAndAMissingValue_AreTurned()
    {
        ElevationGrid grid = Read("0 0 10\n1 0 -32768\n0 1 20\n1 1 30\n", Utm with { MetresPerHeightUnit = 0.3048, MissingValue = -32768 }).Grid;
        Assert.Equal([20 * 0.3048f, 30 * 0.3048f, 10 * 0.3048f, float.NaN], grid.Heights.ToArray());
    }

    [Fact]
    public void Read_WhatCannotBeUsed_IsRefusedWithTheLine()
    {
        Assert.Contains("line 3 holds \"2,5\"; write numbers with a decimal point", Refused("0 0 1\n1 0 2\n0 1 2,5\n1 1 3\n"), StringComparison.Ordinal);
        Assert.Contains("line 2 holds \"abc\"", Refused("0 0 1\n1 abc 2\n"), StringComparison.Ordinal);
        Assert.Contains("line 2 holds fewer than three numbers", Refused("0 0 1\n1 0\n"), StringComparison.Ordinal);
        Assert.Contains("lines 1 and 5 give one place two heights", Refused("0 0 1\n1 0 2\n0 1 2\n1 1 3\n0 0 4\n"), StringComparison.Ordinal);
        Assert.Contains("single place", Refused("0 0 1\n"), StringComparison.Ordinal);
        Assert.Contains("regular grid", Refused(string.Join('\n', Enumerable.Range(0, 60).Select(i => FormattableString.Invariant($"{i * i * 1.37} {i * i * i * 0.11} {i}")))), StringComparison.Ordinal);
        Assert.Contains("which coordinate system", Refused("0 0 1\n1 0 2\n0 1 2\n1 1 3\n", new ElevationReadOptions()), StringComparison.Ordinal);
        Assert.Contains("more than the 3", Refused("0 0 1\n1 0 2\n0 1 2\n1 1 3\n", Utm with { MaximumCells = 3 }), StringComparison.Ordinal);
    }
}
